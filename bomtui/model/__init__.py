"""What a proposal is: frozen values with units in their names, money, findings and results."""

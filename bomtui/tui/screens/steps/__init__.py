"""What the screens share on which the proposal is changed."""

"""The solver in a process of its own: nothing that it does or prints reaches the program, and it leaves no orphan."""

"""Records to bytes: lists and reports in open formats; time and version are arguments."""

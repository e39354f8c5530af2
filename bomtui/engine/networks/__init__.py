"""Networks between modules: frame times, loads, response times, line and link budgets, and who reaches whom."""

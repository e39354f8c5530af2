"""The tests mirror bomtui/; architecture/ holds what every file must keep to, benchmarks/ runs on demand."""

"""Parts that would make a finding go away."""

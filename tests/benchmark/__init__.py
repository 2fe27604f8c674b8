"""Speed, as ratios to floors measured in the same run."""

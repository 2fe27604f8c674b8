"""What earlier builds left behind: made values, file digests, and what stands published."""

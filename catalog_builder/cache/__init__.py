"""What earlier builds left for the next: results, digests of files, and the state after the last build."""

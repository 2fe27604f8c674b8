"""Pictures from phones, cameras and scanners: what may be opened, and how they come upright and plain."""

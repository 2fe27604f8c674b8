"""What a piece is packed in, how large and heavy the parcel is, and what carries it."""

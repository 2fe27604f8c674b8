"""Papers that the maker hands to a buyer or a shop: quotes and confirmed orders. They hold no cost."""

"""Records of selling: channels, markets, postage, labels and the price book."""

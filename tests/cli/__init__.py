"""The commands, as somebody types them."""

"""Ways a text reaches a person."""

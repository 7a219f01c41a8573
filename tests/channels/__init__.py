"""Ways a text reaches a person, one by one."""

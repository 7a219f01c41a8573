"""The doors a stranger can knock on."""

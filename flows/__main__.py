"""`python -m flows` prints every flow as a Mermaid diagram."""

from flows.pictures import drawn

print(drawn(), end="")

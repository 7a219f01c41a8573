"""The record in other people's formats. They read, they never write.

Names come from the register and can be erased there; the record holds opaque ids, so what is
exported of somebody erased says so and is otherwise the same.
"""

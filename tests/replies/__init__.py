"""What people type: each way of typing it, and what it must become."""

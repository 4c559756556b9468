"""What was declared when, and what changed since."""

"""What was made, a jurisdiction and a day give statements, each with its clause."""

"""The screens and commands of chartwalk."""

"""What fits on a stick that a yard cuts: between its marks, parts lie in windows of their own."""

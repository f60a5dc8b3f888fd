"""The drawing of a reed as shapes: where each zone lies in the picture. Knows no page and no file."""

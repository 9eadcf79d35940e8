"""What leaves the program as a file: pictures, reports, guides."""

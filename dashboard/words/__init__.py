"""What is said on the faces, in one place: sentences and the words of figures."""

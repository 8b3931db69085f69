"""How every page looks: colours and sizes by their meaning, the letters, the one stylesheet, the one script."""

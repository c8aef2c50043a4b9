"""How many solutions there are: the verdict, a count, the digits that are possible, the nearest other."""

"""What a user would otherwise write by hand, one file a peer, as its own documentation recommends."""

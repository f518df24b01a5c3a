"""A led tasting: its invitations, its guests' tokens, what a guest may see, and their answers."""

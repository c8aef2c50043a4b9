"""Why a step follows: proof from exactly its premises, and the search for the smallest reason."""

"""Bar force in time: the two published forms of loss, fitted to readings, and an honest band ahead."""

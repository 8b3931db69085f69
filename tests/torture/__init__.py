"""Real processes, killed and crowded: nothing that was acknowledged is lost, and nothing stands there half."""

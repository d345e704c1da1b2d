"""What the owner reads: view models that cannot hold what they may not see."""

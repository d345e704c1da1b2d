"""What each command does: a function a command, plain arguments in, an outcome of facts out."""

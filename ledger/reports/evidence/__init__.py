"""What proves one change, for somebody who does not have the book."""

"""The game as a document: who starts where, what limits them, what scores, what ends it."""

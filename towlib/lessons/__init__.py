"""The lessons: a room each, with what it computes, draws and says."""

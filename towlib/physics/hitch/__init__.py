"""Bar, ball, brackets and bolts."""

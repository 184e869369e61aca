"""The limits by subject: each a row of what is asked of a part and what that part can take."""

"""The road: recordings and tables read, heights smoothed, cut into segments."""

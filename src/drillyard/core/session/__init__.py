"""The running case: events, fold, director, look-ahead, what-if."""

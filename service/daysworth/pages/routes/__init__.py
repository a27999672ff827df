"""One file a page, or the pages of one purpose."""

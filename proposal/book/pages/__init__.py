"""The pages of a book, one module each: results in, a page of blocks out."""

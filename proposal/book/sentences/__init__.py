"""All sentences of the product, by topic. Fields in braces are filled with cells and names when a page is written."""

"""Tables as HTML, for pages and for paper."""

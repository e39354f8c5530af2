"""The whole package as one HTML document: no script, no request, made to be printed."""

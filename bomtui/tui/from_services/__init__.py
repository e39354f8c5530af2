"""What the screens show, made from the services: the one place where figures and findings become their texts."""

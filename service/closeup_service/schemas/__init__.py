"""What goes in and out: marshmallow schemas, one module per resource."""

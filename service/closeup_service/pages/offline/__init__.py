"""The pages without a network: the manifest to install them by, and the service worker that keeps pages and last results."""

"""The panel: drawn in its real arrangement, typed on, dropped onto."""

"""Item models: adapters between a session and Qt's views; they read documents and ask for edits."""

//! The chat bot: words in, API calls out, cards back.

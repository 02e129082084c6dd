//! The border: JSON in, JSON out. Requests become domain types here, with every mistake named by its
//! pointer; answers are made from domain results. No mathematics, and no HTTP.
pub mod mistake;
pub mod question;

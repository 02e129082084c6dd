//! The bot on Discord, through the real client library, against a stand-in of the platform on loopback.
mod bad_input;
mod buttons;
mod drawn;
mod files;
mod gateway;
mod late;
mod limits;
mod made;
mod messages;
mod picture;
mod platform;
mod published;
mod registration;
mod signed;
mod started;
mod transcripts;
mod typing;

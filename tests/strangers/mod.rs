//! What strangers send: nothing of it takes the service down, makes others wait, or shares a key with another question.
mod alphabet;
mod asked;
mod dearest;
mod fair;
mod keys;
mod page;
mod proxy;
mod raw;
mod several;
mod slow;

//! What strangers send: nothing of it takes the service down, or makes others wait.
mod fair;
mod proxy;
mod raw;
mod slow;

//! What the service survives, with the real thing. Each test prints rows of one table:
//! fault, requests sent, failed, wrong, longest wait.
mod clients;
mod load;
mod redis;
mod seen;
mod values;
mod ways;

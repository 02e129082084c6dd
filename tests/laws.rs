//! What must hold for any request, and the second reading of the calculations that the answers are held against.
mod reading;

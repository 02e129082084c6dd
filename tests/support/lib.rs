//! What the tests share: starting real servers, asking, simulating.

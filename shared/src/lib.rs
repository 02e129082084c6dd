//! Everything of Pipwright that is neither HTTP nor chat.
//!
//! | room | what it knows | what never happens there |
//! | --- | --- | --- |
//! | [`odds`] | mathematics | I/O, async, clocks, randomness, serde, any word of a pack |
//! | [`rules`] | packs, unit books, lists: read, checked, compiled to a chain with reasons | probability, JSON |
//! | [`points`] | what a list costs and which limits it breaks | chances |
//! | [`analysis`] | use cases above these: appraisal, league | JSON, HTTP |
//! | [`packs`] | the demo packs, embedded | code of their own |
//! | [`english`] | common English words, which are nobody's slip of the pen | anything else |
//! | [`report`] | drawings, one code and one palette for every place | mathematics, I/O |
//! | [`cards`] | answers on one card: a sentence, a few numbers, the working | JSON, HTTP, drawing |
//! | [`wire`] | JSON: requests, answers, mistakes with their pointers | mathematics, HTTP |
pub mod analysis;
pub mod cards;
pub mod english;
pub mod odds;
pub mod packs;
pub mod points;
pub mod report;
pub mod rules;
pub mod wire;

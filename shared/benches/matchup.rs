//! Where the time of one matchup goes, from the bytes of the request to the bytes of the answer, with heap allocations.
//!
//! `cargo bench -p pipwright-shared --bench matchup`
use divan::{AllocProfiler, Bencher, black_box};
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::PackCatalog,
    wire::{
        matchup::{MatchupRequest, PreparedMatchup},
        question::{PreparedQuery, Question},
        read,
    },
};

#[global_allocator]
static ALLOCATIONS: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

const QUESTION: &str =
    r#"{"attacker":{"unit":"ram-barge","models":3},"target":{"unit":"heron-carriage"},"situation":{"arc":"rear"}}"#;

fn request() -> MatchupRequest {
    read::body(QUESTION.as_bytes()).expect("a request")
}

fn resolved(catalog: &PackCatalog) -> PreparedMatchup {
    request().resolve(catalog).expect("a matchup")
}

#[divan::bench]
fn a_read(bencher: Bencher) {
    bencher.bench_local(|| black_box(request()));
}

#[divan::bench]
fn b_resolve(bencher: Bencher) {
    let catalog = PackCatalog::demo();
    bencher.with_inputs(request).bench_local_values(|request| black_box(request.resolve(&catalog)));
}

#[divan::bench]
fn c_price(bencher: Bencher) {
    let prepared = resolved(&PackCatalog::demo());
    bencher.bench_local(|| black_box(prepared.price()));
}

#[divan::bench]
fn d_canonical(bencher: Bencher) {
    let prepared = resolved(&PackCatalog::demo());
    bencher.bench_local(|| black_box(prepared.canonical_bytes()));
}

#[divan::bench]
fn e_answer(bencher: Bencher) {
    let prepared = resolved(&PackCatalog::demo());
    bencher.bench_local(|| black_box(prepared.answer(&CancellationToken::default())));
}

#[divan::bench]
fn f_write(bencher: Bencher) {
    let answer = resolved(&PackCatalog::demo()).answer(&CancellationToken::default()).expect("an answer");
    bencher.bench_local(|| black_box(serde_json::to_vec(&answer)));
}

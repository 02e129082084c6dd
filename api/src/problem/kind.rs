//! The kinds of problem: each has a path, a title, a status, and a page that says what to do.
use axum::http::StatusCode;
use pipwright_shared::wire::mistake::MistakeKind;

macro_rules! kinds {
    ($($name:ident $path:literal $status:ident $title:literal $page:literal;)+) => {
        /// What sort of problem it is.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        #[expect(missing_docs, reason = "the titles below say it")]
        pub enum Kind { $($name),+ }

        impl Kind {
            /// All of them, in the order of their statuses.
            pub const ALL: &[Self] = &[$(Self::$name),+];

            /// The last part of its path.
            pub fn path(self) -> &'static str { match self { $(Self::$name => $path),+ } }

            /// The status of the response.
            pub fn status(self) -> StatusCode { match self { $(Self::$name => StatusCode::$status),+ } }

            /// In a few words.
            pub fn title(self) -> &'static str { match self { $(Self::$name => $title),+ } }

            /// What to do about it.
            pub fn page(self) -> &'static str { match self { $(Self::$name => $page),+ } }
        }
    };
}

kinds! {
    BrokenJson "broken-json" BAD_REQUEST "The body is not JSON"
        "The body could not be read as JSON. The detail names the line and column where reading stopped; often a comma, a quote or a bracket is missing just before it.";
    BrokenRequest "broken-request" BAD_REQUEST "A request that breaks the rules of HTTP"
        "A request must have exactly one Host header, and a link must be UTF-8. Anything that is not HTTP at all gets a bare status and no page.";
    UnknownKey "unknown-key" UNAUTHORIZED "An API key that is not known here"
        "The request carried an API key that is not in this service's configuration. Leave the key out to be counted by address, or ask whoever runs the service for a key.";
    WrongOrigin "wrong-origin" FORBIDDEN "A web page that may not call here"
        "A page of another host called /mcp from a browser. Whoever runs the service can name that host in its setting origins.";
    UnknownPath "unknown-path" NOT_FOUND "Nothing at this path"
        "The contract at /openapi.json lists every path.";
    UnknownName "unknown-name" NOT_FOUND "A name that is not in the books"
        "A pack, unit, weapon, option or rule was named that the books do not have. did_you_mean lists the closest names that they have; /v1/packs lists the packs.";
    PackGone "pack-gone" NOT_FOUND "A pack that is not kept here"
        "A pack was named by its content, and that content is not kept here: it was never sent, or nobody has used it for longer than packs are kept. Send the pack again to /v1/packs; it gets the same address, and then the same request is answered.";
    WrongMethod "wrong-method" METHOD_NOT_ALLOWED "The path does not take this method"
        "The Allow header of the response lists the methods that the path takes. Calculations take POST with a JSON body, or GET with the same fields in the query string.";
    SlowBody "slow-body" REQUEST_TIMEOUT "The body took too long to arrive"
        "The body of the request did not arrive in time. Send it again over a steadier connection.";
    WrongPrecondition "wrong-precondition" PRECONDITION_FAILED "If-Match names another answer"
        "The If-Match header asks for an answer that is not the current one. Leave the header out.";
    TooLarge "too-large" PAYLOAD_TOO_LARGE "The body is too large"
        "Books given inline count, too. The detail says how large a body may be.";
    WrongType "wrong-type" UNSUPPORTED_MEDIA_TYPE "The body is not sent as JSON"
        "Send the header content-type: application/json with the body.";
    BadValue "bad-value" UNPROCESSABLE_ENTITY "A value that the field does not take"
        "The pointer names the field, and the detail says what it takes.";
    BadPack "bad-pack" UNPROCESSABLE_ENTITY "A pack with mistakes in it"
        "errors lists every mistake of the pack's files, each with its file, line and column, and what would mend it where that is known. /v1/packs/check also tells what can be used but hardly does what was meant.";
    UnknownField "unknown-field" UNPROCESSABLE_ENTITY "A field that the request does not have"
        "The pointer names the field. Fields are spelt exactly as in /openapi.json; an unknown one is refused, so that a misspelt one is not silently ignored.";
    MissingField "missing-field" UNPROCESSABLE_ENTITY "A field is missing"
        "The pointer names the field that must be there.";
    TooMuchWork "too-much-work" UNPROCESSABLE_ENTITY "The question asks for more work than one question may"
        "Every question is priced by its sizes before it is computed. The pointer and the detail name the largest, the first to lower.";
    TooMany "too-many-requests" TOO_MANY_REQUESTS "More requests than the rate allows"
        "Wait as many seconds as Retry-After says. Ask whoever runs the service for a key with a rate of its own, and send many small questions as one to /v1/batch.";
    Internal "internal" INTERNAL_SERVER_ERROR "A fault of the service"
        "Nothing is wrong with the request. The fault has been logged under the X-Request-Id of the response; tell whoever runs the service.";
    Busy "busy" SERVICE_UNAVAILABLE "The service is too busy"
        "Nothing is wrong with the request. Try again after as many seconds as Retry-After says.";
    TooSlow "too-slow" SERVICE_UNAVAILABLE "The answer took too long"
        "The question was within the budget but did not finish in time, most likely because the service is busy. Try again after as many seconds as Retry-After says.";
    NotReady "not-ready" SERVICE_UNAVAILABLE "The service is starting or stopping"
        "Another copy of the service will answer.";
}

impl Kind {
    /// The path of its page.
    pub fn about(self) -> String {
        format!("/docs/problems/{}", self.path())
    }
}

impl From<MistakeKind> for Kind {
    fn from(kind: MistakeKind) -> Self {
        match kind {
            MistakeKind::BrokenJson => Self::BrokenJson,
            MistakeKind::BadValue => Self::BadValue,
            MistakeKind::UnknownField => Self::UnknownField,
            MistakeKind::MissingField => Self::MissingField,
            MistakeKind::UnknownName => Self::UnknownName,
            MistakeKind::PackGone => Self::PackGone,
            MistakeKind::TooMuchWork => Self::TooMuchWork,
        }
    }
}

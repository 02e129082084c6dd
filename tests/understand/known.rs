//! The messages that are not understood yet, by name, with how they fare. A change that loses another fails; one that finds some
//! says so, and they are taken from the list.

/// `id verdict`, a line each.
pub const MISSES: &str = "\
A022 wrong
A029 asked
A071 asked
A079 offered
A084 refused
A089 asked
A097 refused
A109 asked
A114 asked
B009 offered
B022 wrong
B027 asked
B030 asked
B039 asked
B045 wrong
B046 asked
B052 asked
B056 asked
B063 asked
B078 wrong
B081 wrong
B083 offered
B086 asked
B099 asked
B100 refused
B113 offered
B114 asked
C006 asked
C009 offered
C011 wrong
C020 asked
C024 asked
C028 offered
C029 refused
C042 offered
C060 asked
C064 asked
C068 offered
C075 asked
C091 offered
C107 offered
D022 offered
D025 wrong
D058 offered
E004 asked
E037 refused
E039 asked
E044 asked
E048 wrong
E053 wrong
v2-035 wrong
v2-078 asked
v2-080 wrong
v2-101 asked
v3-028 asked
";

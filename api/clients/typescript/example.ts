import { Pipwright, ProblemError } from "pipwright-client";

const pipwright = new Pipwright(process.argv[2] ?? "http://127.0.0.1:8640");
const { chance, fraction, passes } = await pipwright.check({ dice: "2d6", needs: "7+", tries: 3 });
console.log(`${fraction} = ${chance.toFixed(4)} each, ${passes.expected.toFixed(2)} of 3 in the mean`);
try {
  await pipwright.check({ dice: "2d6", needs: "70001+" });
} catch (error) {
  if (error instanceof ProblemError) console.log(`${error.status} at ${error.pointer}: ${error.title}`);
}

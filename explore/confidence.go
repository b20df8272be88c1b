package explore

// ConfirmingDraws is how many draws, which no search has fitted it to, a design must
// pass before it is recommended.
const ConfirmingDraws = 32

// MostConfidence is the largest share of cases, in whole percent, that so many draws
// can tell of: where all n of them keep a limit, one more does so in n of n+1 cases,
// whatever they are drawn from.
const MostConfidence = 0.97

// Package wording says what a front, a proof, a comparison or a brief comes to,
// in the sentences that terminal, pages, cards and run.json have in common: so
// the same is said everywhere, and of the same designs. Start from Record,
// Doubts, HowNear and Cautions.
package wording

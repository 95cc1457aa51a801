package sweep

// Purpose is the second half of the seed, which a test gives to another
// generator of the same points.
const Purpose = purpose

/** An invented neck of 22 frets before levelling: fret 5 low, frets 9 and 14 high, fret 19 high at its treble end. For the tests and for the cards in a browser. */
export const MOSSLARK = {
  neck: { name: "MOSSLARK-03", scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", crown: { height: "1.1 mm" } },
  readings: `
  fret  bass   centre  treble
  1     touch  touch   touch
  3     3      3       4
  5     7      7       7
  7     5      5       6
  9     2.5    2       3
  12    4      4       5
  14    1.5    1.5     2
  16    3      2.5     4
  19    light  light   touch
  22    touch  touch   light
  rocked frets 2-21 on bass, centre: still except 9 bass rocks 8, 14 bass rocks 5, 9 centre rocks 7, 14 centre rocks 5
  rocked frets 2-21 on treble: still except 9 treble rocks 8, 14 treble rocks 4, 19 treble rocks 4
`,
};

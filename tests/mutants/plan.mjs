// Which tests are asked about which file. A command is a Node script with its words; the first that fails has killed
// the mutant.

const STORE = ['write', 'write_again', 'laid'].map(test);
const SYNC = ['take', 'page', 'restamp', 'rewind'].map(test);

/** @type {[RegExp, string[][]][]} the first pattern that fits a file below static/ */
export const PLAN = [
  [/^book\/(merge|canonical)\.js$/, [vectors('merge'), test('merge')]],
  [/^book\/clock\.js$/, [vectors('clock'), test('clock')]],
  [/^book\/outbox\.js$/, [test('outbox')]],
  [/^book\/drafts\.js$/, [test('drafts')]],
  [/^book\/write\.js$/, STORE],
  [/^book\/(unwritten|laid_beside)\.js$/, [test('laid')]],
  [/^book\/sync\/(schedule|lock)\.js$/, [test('schedule')]],
  [/^book\/sync\/(send|pack)\.js$/, [test('send')]],
  [/^book\/sync\/(collect|server_row)\.js$/, [test('collect')]],
  [/^book\/sync\/(round|isolate)\.js$/, [test('round'), test('isolate')]],
  [/^book\/sync\/outcomes\.js$/, [test('outcomes'), ...SYNC]],
  [/^book\/sync\/(take|page|restamp|rewind)\.js$/, SYNC],
  [/^trade\/label(_rule)?\.js$/, [vectors('label_range', 'label_position'), test('label')]],
  [/^trade\/alcoholometry\.js$/, [vectors('mixture', 'mixture_density', 'freezing_point_c'), test('label')]],
  [
    /^trade\/sweetness\.js$/,
    [
      vectors('sweetness_agrees', 'sweetness_from_sugar', 'sweetness_scale', 'sweetness_terms', 'acidity_from_total'),
      test('sweetness'),
    ],
  ],
];

/** @param {...string} names */
function vectors(...names) {
  return ['tests/vectors/run.mjs', ...names];
}

/** @param {string} name */
function test(name) {
  return [`tests/node/${name}.test.mjs`];
}

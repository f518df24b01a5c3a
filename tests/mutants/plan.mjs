// Maps files to the tests that check them. A command is a Node script with its arguments; the first
// one that fails kills the mutant. Files without an entry are checked in the browser only.

const STORE = ['write', 'write_again', 'write_journal', 'stale_edits'].map(test);
const SYNC = ['apply_response', 'apply_page', 'restamp', 'requeue', 'response_facts', 'dropped_values'].map(test);

/** Folders below static/ with files that the plan names. */
export const FOLDERS = [
  'store',
  'sync',
  'lib',
  'rules/label',
  'rules/palate',
  'rules/stats',
  'domain/table',
  'domain/guest',
];

/** @type {[RegExp, string[][]][]} the first pattern that matches a path below static/ applies */
export const PLAN = [
  [/^store\/(merge|canonical)\.js$/, [vectors('merge'), test('merge')]],
  [/^store\/hlc\.js$/, [vectors('clock'), test('hlc')]],
  [/^store\/outbox\.js$/, [test('outbox')]],
  [/^store\/recent_writes\.js$/, [test('recent_writes')]],
  [/^store\/write\.js$/, STORE],
  [/^store\/stale_edits\.js$/, ['stale_edits', 'write_again', 'write'].map(test)],
  [/^store\/(local_state|finish_timer|open_pour)\.js$/, ['local_state', 'loop_failures'].map(test)],
  [/^store\/palate_cache\.js$/, ['palate_fetch', 'palate_cache'].map(test)],
  [
    /^store\/(owner|browser_key|database_name)\.js$/,
    ['owner', 'owner_database', 'phone_databases', 'database'].map(test),
  ],
  [/^store\/(clock_state|backoff)\.js$/, [test('clock_state')]],
  [/^store\/(revisions|invalid_values|evict|changes)\.js$/, ['phone_rows', 'loop_failures'].map(test)],
  [/^store\/queries\.js$/, ['queries', 'query_reads', 'merged_bottles'].map(test)],
  [/^store\/deleted_tastings\.js$/, ['queries', 'record_index', 'deleted_notes'].map(test)],
  [/^store\/bottle_queries\.js$/, ['queries', 'query_reads'].map(test)],
  [/^store\/newest_first\.js$/, ['query_reads', 'queries'].map(test)],
  [/^lib\/hex\.js$/, ['record', 'owner'].map(test)],
  [/^domain\/table\/covered\.js$/, ['table_leading', 'table_flow', 'guest_notes'].map(test)],
  [/^domain\/table\/steps\.js$/, ['table_flow', 'table_leading', 'qr_documents'].map(test)],
  [/^store\/(example|tasters)\.js$/, ['example', 'owner_database'].map(test)],
  [/^store\/edited_example\.js$/, ['kept_examples', 'example'].map(test)],
  [/^store\/open\.js$/, [test('open_store')]],
  [/^store\/record\.js$/, [test('record')]],
  [/^store\/(record_index|whole_table)\.js$/, ['record_index', 'query_reads', 'queries'].map(test)],
  [/^store\/errors\.js$/, [test('store_errors')]],
  [/^store\/persistence\.js$/, [test('persistence')]],
  [/^store\/database\.js$/, [test('database')]],
  [/^store\/(write_journal|replay_journal)\.js$/, ['write_journal', 'replay_journal', 'loop_failures'].map(test)],
  [/^sync\/(schedule|lock)\.js$/, ['schedule', 'schedule_interval', 'loop_failures', 'sync_lock'].map(test)],
  [/^sync\/transport\.js$/, [test('transport')]],
  [/^lib\/retry_after\.js$/, ['retry_after', 'transport'].map(test)],
  [/^sync\/gzip\.js$/, ['transport', 'next_request'].map(test)],
  [/^sync\/(build_request|server_state)\.js$/, [test('build_request')]],
  [/^sync\/next_request\.js$/, ['next_request', 'round'].map(test)],
  [/^sync\/(round|quarantine)\.js$/, ['round', 'round_speed', 'quarantine', 'round_owner', 'next_request'].map(test)],
  [/^sync\/(index|count_unsent)\.js$/, ['sync_loop', 'sync_rounds', 'sync_status'].map(test)],
  [/^sync\/dropped_values\.js$/, ['dropped_fields', 'dropped_values'].map(test)],
  [/^sync\/outcomes\.js$/, [test('outcomes'), ...SYNC]],
  [/^sync\/(restamp|requeue)\.js$/, SYNC],
  [/^sync\/merged_bottles\.js$/, ['passed_on', 'duplicates', 'passed_on_orders'].map(test)],
  [/^sync\/kept_examples\.js$/, ['kept_examples', 'apply_response'].map(test)],
  [/^sync\/apply_(response|page)\.js$/, [...SYNC, ...['passed_on', 'duplicates', 'kept_examples'].map(test)]],
  [/^store\/(validate|validators)\.js$/, [vectors('record'), test('validate')]],
  [
    /^rules\/label\/alcohol_r(ange|ule)\.js$/,
    [vectors('label_range', 'label_position', 'printed_position'), test('alcohol_range')],
  ],
  [
    /^rules\/label\/alcoholometry\.js$/,
    [vectors('mixture', 'mixture_density', 'freezing_point_c'), test('alcohol_range')],
  ],
  [
    /^rules\/label\/sweetness\.js$/,
    [
      vectors('sweetness_agrees', 'sweetness_from_sugar', 'sweetness_scale', 'sweetness_terms', 'acidity_from_total'),
      test('sweetness'),
    ],
  ],
  [/^rules\/label\/product_codes\.js$/, [vectors('gtin_in_store', 'gtin_normal', 'gtin_valid'), test('product_codes')]],
  [/^rules\/label\/drinks\.js$/, [vectors('visit_tally'), test('drinks')]],
  [/^rules\/label\/vintage\.js$/, [test('vintage')]],
  [/^rules\/label\/vintage_in_name\.js$/, [test('vintage_in_name')]],
  [/^rules\/palate\/score\.js$/, [vectors('score'), test('score')]],
  [/^rules\/palate\/information_gain\.js$/, [vectors('teaching'), test('score')]],
  [
    /^rules\/stats\/discrimination\.js$/,
    [vectors('chance_of', 'discrimination', 'least_correct'), test('discrimination')],
  ],
  [
    /^rules\/stats\/numbers\.js$/,
    [vectors('along', 'half_up', 'chance_of', 'label_range', 'visit_tally', 'repeatability'), test('numbers')],
  ],
  [
    /^domain\/table\/(flow|next_action|arrange|same_wine|truth|noted_times)\.js$/,
    ['table_leading', 'table_flow', 'next_action', 'noted_times', 'not_shown'].map(test),
  ],
  [/^domain\/guest\/(answers|clock)\.js$/, [test('guest_answers')]],
  [/^domain\/table\/label_places\.js$/, [test('label_places')]],
  [/^domain\/guest\/own_guesses\.js$/, [test('own_guesses')]],
  [/^rules\/stats\/repeatability\.js$/, [vectors('repeatability', 'guess_sheet'), test('repeatability')]],
];

/** @param {...string} names */
function vectors(...names) {
  return ['tests/vectors/run.mjs', ...names];
}

/** @param {string} name */
function test(name) {
  return [`tests/node/${name}.test.mjs`];
}

// The list of runs in the browser: search, filters, pages, keys, print. Plain script, since a page that is opened from
// disk may load no modules and fetch no files.

globalThis.throwbench = (() => {
  /** Rows on screen at once; a table of ten thousand takes a browser seconds. */
  const PAGE = 100;
  /** Rows on paper at the most: some thirty sheets. */
  const MOST_PRINTED = 1000;
  const FILTERS = ['words', 'verdict', 'profile', 'since', 'until', 'attempts'];
  /** @type {Record<string, string>[]} newest first */
  const runs = [];
  let found = runs;
  let from = 0;
  const byId = (id) => document.getElementById(id);

  /** Rows of one month, given by its file; months come newest first. */
  function add(columns, rows) {
    for (const cells of rows) {
      const run = Object.fromEntries(columns.map((column, i) => [column, cells[i]]));
      const { unit, profile, told, reason, cause, decided, operator, job } = run;
      run.text = [run.run, unit, profile, told, reason, cause, decided, operator, job]
        .join('\n')
        .toLowerCase();
      runs.push(run);
    }
  }

  const asked = () => Object.fromEntries(FILTERS.map((name) => [name, byId(name).value]));

  function matching({ words, verdict, profile, since, until, attempts }) {
    const wanted = words
      .toLowerCase()
      .split(/\s+/)
      .filter((word) => word !== '');
    const seen = new Set();
    return runs.filter((run) => {
      if (verdict !== '' && run.verdict !== verdict) return false;
      if (profile !== '' && run.profile !== profile) return false;
      if ((since !== '' && run.day < since) || (until !== '' && run.day > until)) return false;
      if (!wanted.every((word) => run.text.includes(word))) return false;
      if (attempts === '') return true;
      const isFirst = !seen.has(run.unit);
      seen.add(run.unit);
      return isFirst;
    });
  }

  function cell(row, content, className) {
    const made = row.insertCell();
    if (className) made.className = className;
    made.append(content);
    return made;
  }

  function rowOf(run) {
    const row = document.createElement('tr');
    const link = document.createElement('a');
    link.href = run.sheet;
    link.textContent = run.when;
    link.title = `Sheet of run ${run.run}`;
    cell(row, link, 'when');
    cell(row, run.unit, 'unit').title = run.job === '' ? '' : `Job ${run.job}`;
    const word = document.createElement('span');
    word.className = `verdict ${run.verdict}`;
    word.textContent = run.told;
    cell(row, word);
    cell(row, run.verdict !== 'pass' && run.cause !== '' ? run.cause : run.reason);
    cell(row, run.profile);
    cell(row, run.decided);
    return row;
  }

  function show(count = PAGE, start = from) {
    const shown = found.slice(start, start + count);
    byId('rows').replaceChildren(...shown.map(rowOf));
    const many = `${found.length} of ${runs.length} runs`;
    const part = shown.length < found.length ? `, ${start + 1} to ${start + shown.length} shown` : '';
    byId('count').textContent =
      runs.length === 0 ? 'No runs yet.' : found.length === 0 ? 'No run fits; clear a filter.' : many + part;
    byId('back').disabled = start === 0;
    byId('on').disabled = start + count >= found.length;
  }

  function search() {
    const filters = asked();
    found = matching(filters);
    from = 0;
    show();
    const told = new URLSearchParams(Object.entries(filters).filter(([, value]) => value !== ''));
    // So that the way back from a sheet leads to the same list.
    history.replaceState(null, '', `#${told}`);
  }

  function turn(pages) {
    const to = from + pages * PAGE;
    if (to < 0 || to >= found.length) return false;
    from = to;
    show();
    return true;
  }

  const links = () => [...byId('rows').querySelectorAll('a')];

  function step(by) {
    const all = links();
    const at = all.indexOf(document.activeElement);
    const next = all[at < 0 ? (by > 0 ? 0 : all.length - 1) : at + by];
    if (next) next.focus();
    else if (turn(by))
      links()
        .at(by > 0 ? 0 : -1)
        .focus();
    else if (by < 0) byId('words').focus();
  }

  function pressed(event) {
    const isTyping = ['INPUT', 'SELECT'].includes(document.activeElement?.tagName ?? '');
    const isText = document.activeElement === byId('words');
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === '/' && !isTyping) byId('words').select();
    else if (event.key === 'ArrowDown' && (!isTyping || isText)) step(1);
    else if (event.key === 'ArrowUp' && !isTyping) step(-1);
    else if ((event.key === 'PageDown' || event.key === 'PageUp') && !isTyping) {
      const by = event.key === 'PageDown' ? 1 : -1;
      if (document.activeElement !== links().at(by > 0 ? -1 : 0) || !turn(by)) return;
      links()[0].focus();
    } else return;
    event.preventDefault();
  }

  function start() {
    const told = new URLSearchParams(location.hash.slice(1));
    for (const name of FILTERS) byId(name).value = told.get(name) ?? '';
    const filters = byId('filters');
    filters.addEventListener('input', search);
    filters.addEventListener('submit', (event) => event.preventDefault());
    filters.addEventListener('reset', () => setTimeout(search));
    byId('back').addEventListener('click', () => turn(-1));
    byId('on').addEventListener('click', () => turn(1));
    document.addEventListener('keydown', pressed);
    // Paper has no second page to turn to.
    addEventListener('beforeprint', () => show(MOST_PRINTED, 0));
    addEventListener('afterprint', () => show());
    search();
  }

  return { add, start };
})();

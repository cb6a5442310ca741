'use strict';
// Everything that is shown is read from the tables of this page; nothing is worked out here.
const all = (from, what) => Array.from(from.querySelectorAll(what));
const holes = document.getElementById('holes');
const factors = document.getElementById('factors');
const card = document.getElementById('card');
const choice = document.getElementById('motion');
const body = table => table.tBodies[0];
const heads = table => all(table.tHead, 'th');
const comma = document.documentElement.dataset.comma === '1';

// The rows of one cup stand in the order of the plan until somebody sorts them.
for (const table of [holes, factors]) {
  if (table) { all(body(table), 'tr').forEach((row, index) => { row.dataset.cup = String(index); }); }
}

function rowOf(table, cup) {
  return table ? body(table).querySelector('tr[data-cup="' + cup + '"]') : null;
}

function figure(text) {
  let plain = text.replace(/[\s\u00a0\u202f*]/g, '').replace(/\u2212/g, '-');
  if (comma) { plain = plain.replace(/\./g, '').replace(',', '.'); }
  return parseFloat(plain);
}

function pairs(table, cup) {
  const row = rowOf(table, cup);
  if (!row) { return []; }
  const names = heads(table).map(head => head.textContent);
  return Array.from(row.cells).map((cell, index) => [names[index], cell]).slice(1);
}

function show(cup) {
  all(document, '.shown').forEach(one => one.classList.remove('shown'));
  all(document, '[data-cup="' + cup + '"]').forEach(one => one.classList.add('shown'));
  card.textContent = '';
  const add = (name, value, low) => {
    const span = document.createElement('span');
    const bold = document.createElement('b');
    bold.textContent = value;
    if (low) { bold.className = 'fail'; }
    span.append(name + ' ', bold);
    card.append(span);
  };
  const row = rowOf(holes, cup) || rowOf(factors, cup);
  if (row) { add('', row.cells[0].textContent, false); }
  for (const [name, cell] of pairs(holes, cup)) { add(name, cell.textContent, false); }
  for (const [name, cell] of pairs(factors, cup)) { add(name + ':', cell.textContent, cell.classList.contains('fail')); }
}

function showMotion() {
  if (!choice) { return; }
  for (const cup of all(document, '#plan .cup')) {
    const row = rowOf(factors, cup.dataset.cup);
    if (!row) { continue; }
    const cell = row.cells[Number(choice.value) + 1];
    const text = cup.querySelector('.factor');
    if (text) { text.textContent = cell.textContent; }
    cup.classList.toggle('low', cell.classList.contains('fail'));
  }
}

for (const cup of all(document, '#plan .cup')) {
  for (const what of ['pointerenter', 'focus', 'click']) {
    cup.addEventListener(what, () => show(cup.dataset.cup));
  }
}
if (choice) { choice.addEventListener('change', showMotion); showMotion(); }

function sort(table, column, head) {
  const falling = head.getAttribute('aria-sort') === 'ascending';
  heads(table).forEach(other => other.removeAttribute('aria-sort'));
  head.setAttribute('aria-sort', falling ? 'descending' : 'ascending');
  const rows = all(body(table), 'tr');
  const text = row => (row.cells[column] ? row.cells[column].textContent : '');
  rows.sort((a, b) => {
    const [one, other] = [text(a), text(b)];
    const difference = figure(one) - figure(other);
    const natural = one.localeCompare(other, 'en', { numeric: true });
    const order = head.classList.contains('figure') ? (Number.isNaN(difference) ? natural : difference) : natural;
    return falling ? -order : order;
  });
  body(table).append(...rows);
}

function copied(table) {
  const lines = all(table, 'tr').map(row => Array.from(row.cells).map(cell => cell.textContent).join('\t'));
  return lines.join('\n') + '\n';
}

// Browsers that keep the clipboard to themselves for a page from a disk still copy what is selected.
function copy(table, button) {
  const done = () => { button.textContent = 'Copied'; };
  const bySelection = () => {
    const area = document.createElement('textarea');
    area.value = copied(table);
    document.body.append(area);
    area.select();
    if (document.execCommand('copy')) { done(); }
    area.remove();
  };
  if (navigator.clipboard) {
    navigator.clipboard.writeText(copied(table)).then(done, bySelection);
  } else {
    bySelection();
  }
}

for (const table of all(document, 'table.sort')) {
  heads(table).forEach((head, column) => {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = head.textContent;
    button.title = 'Sort by this column';
    head.textContent = '';
    head.append(button);
    button.addEventListener('click', () => sort(table, column, head));
  });
  const tools = document.createElement('p');
  tools.className = 'tools';
  const button = document.createElement('button');
  button.type = 'button';
  button.textContent = 'Copy table';
  button.setAttribute('aria-label', 'Copy table: ' + table.caption.textContent);
  button.addEventListener('click', () => copy(table, button));
  tools.append(button);
  table.parentElement.before(tools);
}

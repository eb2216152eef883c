"use strict";
// The saw view. A tick shows at once, lies in this browser's storage until the server has it, and carries an id, so that it
// counts once however often it is sent.

const $ = (id) => document.getElementById(id);
const stored = "sawbook-ticks";
let cutting = null; // how it stands, as the server told last
let ticked = new Set(), spoiled = new Set();
let queue = JSON.parse(localStorage.getItem(stored) || "[]");
let choice = new URLSearchParams(location.hash.slice(1)); // cutting, order, sheet
let past = []; // what was ticked here, to take it back
let sending = null, lost = ""; // what brings ticks to the server now, and why it could not
let taken = 0; // how many answers were taken

const newID = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
const isTicked = (item) => ticked.has(item);
const open = (items) => items.filter((i) => !ticked.has(i) && !spoiled.has(i));
const partItems = (sheet) => sheet.items.filter((i) => /\/p\d+$/.test(i));
const sheetOf = (item) => cutting.sheets.find((s) => s.key === item.slice(0, item.lastIndexOf("/")));
const view = (sheet) => cutting.patterns[sheet.pattern];
const bySetting = () => choice.get("order") === "setting";

// take keeps what the server says, and what of it is not known there yet. An answer that was overtaken by a newer one is dropped;
// one that was asked for later and yet is older comes from a register that was made again.
function take(answer) {
	if (!answer.ticked) return; // nothing has changed
	if (cutting && answer.name === cutting.name && answer.version < cutting.version && answer.asked < taken) return;
	taken++;
	const before = cutting && answer.name === cutting.name ? cutting : {};
	cutting = { ...before, ...answer, cuttings: answer.cuttings || before.cuttings };
	ticked = new Set(answer.ticked);
	spoiled = new Set(answer.spoiled || []);
	for (const t of queue) if (t.cutting === cutting.name) for (const i of t.items) t.ticked === "yes" ? ticked.add(i) : ticked.delete(i);
	show();
}

async function ask(path, form) {
	const asked = taken;
	const answer = await fetch(path, form ? { method: "POST", body: form } : {});
	const text = await answer.text();
	let said;
	try { said = JSON.parse(text); } catch { said = { fault: text }; }
	if (!answer.ok) throw Object.assign(new Error(said.fault), { code: answer.status });
	return { ...said, asked };
}

const known = () => cutting ? { cutting: cutting.name, revision: cutting.revision } : {};

// send brings the ticks that wait to the server, in their order, and ends when none can be brought any more. A tick that is
// refused is dropped and told; one that finds no server, or no welcome there, waits.
function send() { return sending ||= bring().finally(() => { sending = null; }); }

async function bring() {
	try {
		while (queue.length > 0) {
			const t = queue[0], form = new URLSearchParams({ id: t.id, cutting: t.cutting, ticked: t.ticked, revision: cutting && cutting.name === t.cutting ? cutting.revision : "" });
			for (const i of t.items) form.append("item", i);
			let answer = null;
			try {
				answer = await ask("saw/tick", form);
			} catch (e) {
				if (!e.code || e.code === 401 || e.code >= 500) throw e;
				tell(e.message);
			}
			queue.shift();
			localStorage.setItem(stored, JSON.stringify(queue));
			if (answer && cutting && answer.name === cutting.name) take(answer);
			else if (!answer) await read(true);
		}
		lost = "";
	} catch (e) {
		lost = e.code === 401 ? "open the address that sawbook page printed anew" : "no connection";
	} finally {
		status();
	}
}

async function read(all) {
	const q = new URLSearchParams(choice.get("cutting") ? { cutting: choice.get("cutting") } : {});
	if (cutting && !all && cutting.name === (choice.get("cutting") || cutting.name)) for (const [k, v] of Object.entries({ ...known(), version: cutting.version })) q.set(k, v);
	take(await ask("saw/work?" + q));
}

// poll asks what other tablets did.
async function poll() {
	if (queue.length > 0) await send();
	else if (!sending) {
		try {
			await read(false);
			lost = "";
		} catch (e) {
			if (!e.code || e.code === 401) lost = e.code ? "open the address that sawbook page printed anew" : "no connection";
			else { lost = ""; if (!cutting) tell(e.message); }
		}
		status();
	}
	setTimeout(poll, 1000);
}

function tick(items, on) {
	if (items.length === 0) return;
	queue.push({ id: newID(), cutting: cutting.name, items, ticked: on ? "yes" : "no" });
	localStorage.setItem(stored, JSON.stringify(queue));
	for (const i of items) on ? ticked.add(i) : ticked.delete(i);
	if (on) past.push(items);
	tell("");
	show();
	send();
}

async function recut(title, wish) {
	const ask1 = $("ask");
	$("ask-title").textContent = title;
	ask1.showModal();
	const yes = await new Promise((done) => {
		$("yes").onclick = () => done(true);
		$("no").onclick = ask1.oncancel = () => done(false);
	});
	ask1.close();
	if (!yes) return;
	tell("");
	$("state").textContent = "planning anew …";
	await send(); // what is ticked here counts
	if (queue.length > 0) { tell(`Not planned anew, since ticks of this tablet wait: ${lost}.`); status(); return; }
	const form = new URLSearchParams({ id: newID(), ...known() });
	for (const [k, v] of Object.entries(wish)) form.set(k, v);
	for (let n = 0; ; n++) {
		try {
			take(await ask("saw/recut", form));
			past = [];
			tell("Planned anew: go by what is shown now.");
			break;
		} catch (e) {
			if (e.code || n === 3) { tell(e.message || "no connection"); break; } // the same id again: it is done once
		}
	}
	status();
}

function tell(text) { $("message").textContent = text; }

function status() {
	$("state").textContent = lost ? `${queue.length} waiting: ${lost}` : queue.length ? "saving …" : "all saved";
	$("state").classList.toggle("lost", !!lost);
}

// steps lists what comes one after another: sheets, or positions of fence and stop and then what they leave.
function steps() {
	if (!bySetting() || !cutting.visits) return cutting.sheets.map((s) => ({ key: s.key, sheets: [{ key: s.key, items: s.items }], sheet: s }));
	const all = cutting.visits.map((v, n) => ({ key: "v" + n, visit: v, sheets: v.sheets }));
	const cut = new Set(all.flatMap((v) => v.sheets.flatMap((s) => s.items)));
	for (const s of cutting.sheets) {
		const rest = s.items.filter((i) => !cut.has(i) && !/\/p\d+$/.test(i));
		if (rest.length) all.push({ key: s.key, sheets: [{ key: s.key, items: rest }], sheet: s });
	}
	return all;
}

function show() {
	const had = document.activeElement && document.activeElement.id;
	const all = steps();
	const unfinished = (s) => s.sheets.some((p) => open(p.items).length);
	let at = all.findIndex((s) => s.key === choice.get("sheet"));
	if (at < 0) at = Math.max(0, all.findIndex(unfinished));
	const step = all[at];
	const sheet = step.visit ? cutting.sheets.find((s) => s.key === (step.sheets.find((p) => open(p.items).length) || step.sheets[0]).key) : step.sheet;
	const v = view(sheet);
	const rows = step.visit ? visitRows(step) : sheetRows(sheet, v, new Set(step.sheets[0].items));
	const next = rows.find((r) => open(r.items).length);
	const parts = partItems(sheet);

	fill($("cutting"), cutting.cuttings.map((n) => [n, n]), cutting.name);
	$("by-sheet").setAttribute("aria-pressed", !bySetting());
	$("by-setting").setAttribute("aria-pressed", bySetting());
	const cuts = cutting.sheets.flatMap((s) => s.items), isPart = (i) => /\/p\d+$/.test(i);
	$("sum").textContent = `${cutting.sheets.filter((s) => !open(s.items).length).length} of ${cutting.sheets.length} sheets, ` +
		`${cuts.filter((i) => !isPart(i) && isTicked(i)).length} of ${cuts.filter((i) => !isPart(i)).length} cuts, ${cuts.filter((i) => isPart(i) && isTicked(i)).length} of ${cuts.filter(isPart).length} parts`;

	$("title").textContent = step.visit ? `Setting ${at + 1} of ${all.length}` : `${sheet.title}`;
	$("what").textContent = step.visit ? (step.visit.number ? `${step.visit.second ? "Second cuts, " : ""}${step.visit.thickness} thick` : "Before any setting") : `${v.what} ${v.size}, ${v.material}`;
	const heading = next && (next.set ? `${next.cut || "trim"} ${next.set}` : next.cut || next.steps);
	let label = "Done", go = null;
	if (next) {
		$("set").textContent = heading[0].toUpperCase() + heading.slice(1);
		$("frees").textContent = (next.visit ? next.label : `${/^\d/.test(next.steps) ? "cut " : ""}${next.steps} of ${next.of}`) + (next.frees && next.frees !== "trim" ? `: frees ${next.frees}` : "");
		go = () => tick(open(next.items), true);
	} else if (!step.visit && open(parts).length) {
		$("set").textContent = "All cut";
		$("frees").textContent = "Label the parts, and lay them aside.";
		label = "All parts off";
		go = () => tick(open(parts), true);
	} else {
		const later = all.some(unfinished);
		$("set").textContent = later ? "Finished" : "All is cut";
		$("frees").textContent = "";
		label = later ? (step.visit ? "Next setting" : "Next sheet") : "Done";
		go = later && (() => choose({ sheet: null })); // to the first that is not finished
	}
	$("done").textContent = label;
	$("done").disabled = !go;
	$("done").onclick = go;
	$("back").disabled = !past.length;
	$("before").disabled = at === 0;
	$("after").disabled = at === all.length - 1;
	$("before").onclick = () => choose({ sheet: all[at - 1].key });
	$("after").onclick = () => choose({ sheet: all[at + 1].key });

	$("picture-title").textContent = step.visit ? sheet.title : v.what[0].toUpperCase() + v.what.slice(1);
	draw(sheet, v, next ? next.items : []);
	put($("cut-rows"), rows.map((r, n) => cutRow(r, n, r === next)));
	put($("part-rows"), parts.map((item, n) => partRow(item, v.parts[n], n)));
	$("bad").textContent = sheet.second ? "This blank is bad …" : "This sheet is bad …";
	$("bad").onclick = () => recut(`${sheet.title} is bad`, { sheet: sheet.key });
	const numbers = [...new Set(cutting.sheets.flatMap((s) => view(s).parts.map((p) => p.number)))].sort();
	fill($("part"), numbers.map((n) => [n, n]), $("part").value);
	$("why").replaceChildren(...(cutting.why || []).map((w, n) => element("li", `recut ${n + 1}: ${w}`)));
	status();
	if (had && $(had) && document.activeElement !== $(had)) $(had).focus({ preventScroll: true });
	const current = document.querySelector("#cut-rows [aria-current]");
	if (current) $("cut-rows").scrollTop = Math.max(0, current.offsetTop - $("cut-rows").offsetTop - 60);
}

function sheetRows(sheet, v, allowed) {
	return v.rows.map((r) => ({ ...r, items: r.items.map((i) => `${sheet.key}/${i}`).filter((i) => allowed.has(i)) })).filter((r) => r.items.length);
}

// visitRows lists the sheets of a position, each with the cuts that are made there.
function visitRows(step) {
	return step.sheets.map((p) => {
		const sheet = cutting.sheets.find((s) => s.key === p.key), v = view(sheet);
		const cuts = p.items.map((i) => i.slice(p.key.length + 1));
		const of = v.rows.filter((r) => r.items.some((i) => cuts.includes(i)));
		const steps = of.map((r) => r.steps).join(", ");
		const frees = step.visit.number ? [...new Set(of.map((r) => r.frees.replace(/^\d+ of /, "")))].join("; ") : "";
		return { visit: true, steps, cut: step.visit.cut, set: step.visit.set, of: sheet.title, frees, label: `${sheet.title}, cut ${steps}`, items: p.items };
	});
}

function element(tag, text, attributes = {}) {
	const e = document.createElement(tag);
	e.textContent = text;
	for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
	return e;
}

// put shows rows in a list. One that stands there already stays: a finger may be on it.
function put(list, rows) {
	rows.forEach((row, n) => {
		const there = list.children[n];
		if (!there) list.append(row);
		else if (there.outerHTML !== row.outerHTML) there.replaceWith(row);
	});
	while (list.children.length > rows.length) list.lastChild.remove();
}

// row is of some items; those that look alike but are of others are told apart by them.
const row = (items) => element("li", "", { class: "row", "data-items": items.join(" ") });

function pressed(items) {
	const n = items.filter(isTicked).length;
	return n === items.length ? "true" : n ? "mixed" : "false";
}

function cutRow(r, n, current) {
	const li = row(r.items), b = element("button", "", { type: "button", id: "cut-" + n, "aria-pressed": pressed(r.items) });
	if (current) b.setAttribute("aria-current", "step");
	const words = r.visit ? [r.of, `cut ${r.steps}${r.frees ? " → " + r.frees : ""}`] : [r.steps, `${[r.cut, r.set].filter(Boolean).join(" ")} of ${r.of}${r.frees && r.frees !== "trim" ? " → " + r.frees : ""}`];
	b.append(element("b", words[0]), element("span", words[1]));
	b.onclick = () => open(r.items).length ? tick(open(r.items), true) : tick(r.items, false);
	li.append(b);
	return li;
}

function partRow(item, part, n) {
	const li = row([item]);
	if (spoiled.has(item)) {
		li.append(element("span", `${part.number} spoiled: it is cut again`, { class: "lost" }));
		return li;
	}
	const b = element("button", "", { type: "button", id: "part-" + n, "aria-pressed": pressed([item]) });
	b.append(element("b", part.number), element("span", part.size));
	b.onclick = () => tick([item], !isTicked(item));
	const s = element("button", "Spoiled …", { type: "button", id: "spoil-" + n, class: "spoil", "aria-label": `${part.number} is spoiled` });
	s.onclick = () => recut(`Recut 1 of ${part.number}`, { item });
	s.disabled = !sheetOf(item).items.some(isTicked);
	li.append(b, s);
	return li;
}

function fill(select, options, value) {
	if (select.dataset.of === JSON.stringify(options)) { select.value = value; return; }
	select.dataset.of = JSON.stringify(options);
	select.replaceChildren(...options.map(([v, text]) => element("option", text, { value: v })));
	if (value) select.value = value;
}

function choose(change) {
	for (const [k, v] of Object.entries(change)) v === null ? choice.delete(k) : choice.set(k, v);
	history.replaceState(null, "", "#" + choice);
	tell("");
	show();
}

// draw shows a sheet with its corner at the lower left, as the printed page does: what is cut, what comes now, what is off.
function draw(sheet, v, now) {
	const ns = "http://www.w3.org/2000/svg", svg = document.createElementNS(ns, "svg");
	const pad = 14, box = $("drawing"), scale = Math.max(100, box.clientWidth - 4) / (v.length + 2 * pad);
	svg.setAttribute("viewBox", `${-pad} ${-pad} ${v.length + 2 * pad} ${v.width + 2 * pad}`);
	svg.setAttribute("role", "img");
	svg.setAttribute("aria-label", `${sheet.title}: ${v.parts.length} parts, ${v.cuts.length} cuts`);
	const add = (tag, a) => { const e = document.createElementNS(ns, tag); for (const k in a) e.setAttribute(k, a[k]); svg.append(e); return e; };
	const rect = ([x, y, l, w], a) => add("rect", { x, y: v.width - y - w, width: l, height: w, ...a });
	const px = (n) => n / scale;
	const write = (text, [x, y, l, w], most) => {
		const size = Math.min(px(most), l * 1.5 / text.length, w * 0.8), tall = Math.min(px(most), w * 1.5 / text.length, l * 0.8);
		const turned = tall > size * 1.2, s = Math.max(size, tall), cx = x + l / 2, cy = v.width - y - w / 2;
		if (s < px(9)) return;
		add("text", { x: cx, y: cy, "font-size": s, "font-weight": "bold", ...(turned ? { transform: `rotate(-90 ${cx} ${cy})` } : {}) }).textContent = text;
	};
	const hatch = add("pattern", { id: "hatch", width: px(9), height: px(9), patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
	hatch.append(Object.assign(document.createElementNS(ns, "rect"), {}));
	for (const [k, a] of Object.entries({ width: px(1.2), height: px(9), fill: "#6b6252" })) hatch.firstChild.setAttribute(k, a);
	rect([0, 0, v.length, v.width], { fill: "#fff", stroke: "#16130f", "stroke-width": px(2) });
	const t = v.trim || [0, 0, 0, 0];
	rect([t[0], t[2], v.length - t[0] - t[1], v.width - t[2] - t[3]], { fill: "none", stroke: "#6b6252", "stroke-width": px(1), "stroke-dasharray": `${px(6)} ${px(4)}` });
	for (const o of v.offcuts) {
		rect(o.area, { fill: o.label ? "#fff" : "url(#hatch)", stroke: "#6b6252", "stroke-width": px(1) });
		if (o.label) write(`${o.label} ${o.size}`, o.area, 16);
	}
	v.parts.forEach((p, n) => {
		const item = `${sheet.key}/p${n + 1}`, off = isTicked(item), gone = spoiled.has(item);
		rect(p.area, { fill: gone ? "#fff" : off ? "#d8d2c6" : "#fbe9c6", stroke: "#16130f", "stroke-width": px(1.5) });
		if (gone) rect(p.area, { fill: "none", stroke: "#9b1c00", "stroke-width": px(4), "stroke-dasharray": `${px(4)} ${px(4)}` });
		write(p.number + (gone ? " spoiled" : off ? " off" : ""), p.area, 24);
	});
	const coming = v.cuts.filter((c) => now.includes(`${sheet.key}/${c.item}`));
	for (const c of v.cuts) if (isTicked(`${sheet.key}/${c.item}`)) line(c.line, { stroke: "#16130f", "stroke-width": px(3) });
	for (const c of coming) rect(c.from, { fill: "none", stroke: "#7a3b00", "stroke-width": px(3), "stroke-dasharray": `${px(10)} ${px(6)}` });
	for (const c of coming) line(c.line, { stroke: "#7a3b00", "stroke-width": px(7) });
	if (now.includes(`${sheet.key}/c0`)) rect([t[0], t[2], v.length - t[0] - t[1], v.width - t[2] - t[3]], { fill: "none", stroke: "#7a3b00", "stroke-width": px(6) });
	function line([x1, y1, x2, y2], a) { add("line", { x1, y1: v.width - y1, x2, y2: v.width - y2, ...a }); }
	box.replaceChildren(svg);
}

$("by-sheet").onclick = () => choose({ order: "sheet", sheet: null });
$("by-setting").onclick = () => choose({ order: "setting", sheet: null });
$("back").onclick = () => tick((past.pop() || []).filter(isTicked), false);
$("cutting").onchange = () => { choice.set("cutting", $("cutting").value); choice.delete("sheet"); past = []; history.replaceState(null, "", "#" + choice); read(true).catch((e) => tell(e.message)); };
$("recut").onsubmit = (e) => { e.preventDefault(); recut(`Recut ${$("count").value} of ${$("part").value}`, { part: $("part").value, count: $("count").value }); };
addEventListener("resize", () => cutting && show());
addEventListener("online", send);

read(true).then(() => {
	if (!choice.get("order") && cutting.bySetting) choose({ order: "setting" });
}).catch((e) => tell(e.message)).finally(() => setTimeout(poll, 1000));

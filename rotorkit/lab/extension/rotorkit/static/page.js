/* A notebook of the working folder runs itself when it opens. One script, no build: JupyterLab loads it as it stands.
 *
 * What a page's state is stands in its panel's data-rotorkit: "asking" the server what the notebook is, "waiting" to be
 * run, "running", "run", "failed", "asks" (a changed notebook that nobody has allowed to run, or one that another window
 * works), "lost" (no kernel or no server behind it). Only what is "run" is current; outputs of any other state are out of sight or are being made.
 */
(() => {
  'use strict';

  const NAME = 'rotorkit';
  const SETTINGS = 'rotorkit:page';
  const BEAT = 3000;          // milliseconds between two looks at the server
  const LATE = 20000;         // so long a kernel that starts again is waited for before it is asked for anew
  const AGAIN = 60000;        // within this a kernel that ends is asked for anew by the page so often, then by a person
  const PAUSE = 5000;         // so much longer each time
  const TRIES = 3;            // (the end of the one before may take the first new one with it)
  const FIRST = 1500;         // milliseconds for which the rest of a page waits for its form to be seen
  const ANSWERED = 40;        // milliseconds after the kernel has answered all until a press goes on: what a field held
                              // back until then is under way
  const OLD = 1000;           // after so long without an answer to what was typed the figures are those of before
  const HELD = 60000;         // a press that has waited so long is not done any more, and that is said
  const SLOW_BEAT = 30000;    // the same, once it has turned this page away
  const NARROW = 1200;        // pixels of a window in which a form and the list of files stand badly beside each other
  const LIST_STAYS = 'rotorkit list of files stays open';
  const LATER = 'rotorkit-later';   // of a cell that runs once its code is seen
  const CLEAR = "import sys\nif 'ipywidgets' in sys.modules:\n    sys.modules['ipywidgets'].Widget.close_all()";
  const APART = /[\t\n\v\f\r\u0085\u2028\u2029]+/;    // what stands between the cells of a table
  const LINE_BREAK = /[\n\v\f\r\u0085\u2028\u2029]/;
  const BREAK = '\u2028';                              // a line break that a field of one line does not lose
  const CHECKS = /^[ \t]*assert(?:\b|_\w+\()/gm;

  const STYLE = `
.rotorkit-covered .jp-Cell-outputArea {visibility: hidden}
.rotorkit-old .rotorkit-form :is(.rotorkit-banner, .rotorkit-pictures, .rotorkit-word) {visibility: hidden}
.rotorkit-plain .rotorkit-ours.jp-CodeCell:not(.rotorkit-check) .jp-Cell-inputWrapper,
  .rotorkit-plain .rotorkit-ours .jp-OutputPrompt, .rotorkit-plain .rotorkit-ours .jp-InputPrompt,
  .rotorkit-plain .rotorkit-for-code, .rotorkit-folded .rotorkit-check, .rotorkit-hint-cell {display: none !important}
.rotorkit-plain .rotorkit-ours .jp-Collapser, .rotorkit-plain .rotorkit-ours .jp-OutputArea-promptOverlay,
  .rotorkit-plain .rotorkit-ours .jp-cell-toolbar {display: none !important}
.rotorkit-plain .rotorkit-title h1 {font-size: 22px; margin: 0 0 2px; line-height: 1.2}
.rotorkit-plain .rotorkit-title .jp-RenderedMarkdown {padding-top: 0; padding-bottom: 0}
.rotorkit-plain .rotorkit-ours .jp-MarkdownOutput, .rotorkit-plain .rotorkit-ours .jp-InputArea-editor {border: none}
.rotorkit-working {position: absolute; z-index: 9; bottom: 8px; left: 50%; transform: translateX(-50%); padding: 4px 14px;
  font: 14px/1.4 var(--jp-content-font-family, sans-serif); color: #08365f; background: #e8f1f9; border: 1px solid #0b4f8a;
  border-radius: 3px}
.rotorkit-say {overflow: auto; padding: 6px 16px; font: 14px/1.4 var(--jp-content-font-family, sans-serif); color: #4a2e00;
  background: #fff4dc; border-bottom: 1px solid #7a4b00}
.rotorkit-say p {margin: 2px 0; max-width: 1000px}
.rotorkit-say button, .rotorkit-checks button {font: inherit; padding: 2px 10px; margin: 2px 8px 2px 0; min-height: 26px;
  color: #1a1a1a; background: #fff; border: 1px solid #767676; border-radius: 3px; cursor: pointer}
.rotorkit-checks {padding: 2px 8px; font: 14px/1.4 var(--jp-content-font-family, sans-serif);
  color: var(--jp-content-font-color1, #1a1a1a)}
.rotorkit-checks.failed {color: #6b120b; background: #fdecea; border-left: 4px solid #9c1c12}
.rotorkit-code-switch {display: flex; align-items: center; gap: 4px; padding: 0 6px; white-space: nowrap;
  font: 13px var(--jp-ui-font-family, sans-serif); color: var(--jp-ui-font-color1, #1a1a1a)}`;

  /* In a narrow window a form has the room of the list of files, until the person opens the list again: then it stays,
   * in this browser, until they close it. */
  function foldsTheList(shell) {
    const narrow = () => window.innerWidth < NARROW;
    let folded = shell.leftCollapsed;
    shell.layoutModified.connect(() => {
      if (shell.leftCollapsed === folded) return;
      folded = shell.leftCollapsed;
      if (!narrow()) return;
      if (folded) window.localStorage.removeItem(LIST_STAYS);
      else window.localStorage.setItem(LIST_STAYS, 'yes');
    });
    return () => {
      if (!narrow() || shell.leftCollapsed || window.localStorage.getItem(LIST_STAYS)) return;
      folded = true;
      shell.collapseLeft();
    };
  }

  const SAY = {
    working: 'One moment: this page is being worked out.',
    asks: 'This notebook is not as rotorkit shipped it: somebody has changed it. It does not run by itself, and what ' +
      'it showed before is covered. Run it if you know who changed it and what for. The notebook as shipped comes ' +
      'back when you rename this one and start rotorkit lab again.',
    elsewhere: 'This page was opened in another window, which works it now, so here it is covered. What you typed here ' +
      'stands there too, as a draft. Go on there; or work it here, and the other window is covered.',
    restarting: 'The kernel, which works the figures, is starting again. This page is worked again as soon as it is back.',
    dead: 'The kernel, which works the figures, has stopped. What was here is covered, because it is no longer up to date.',
    stopped: 'rotorkit lab is no longer running, so nothing on this page is worked out, and it is covered. Start it again ' +
      'as you did before (rotorkit lab, or make lab). If this page does not come back by itself, close it and open the ' +
      'address that the program prints.',
    turned: 'rotorkit lab was started again, and no longer accepts this page: each start has a new key. Close this ' +
      'page, and open the address that the program printed when it started.',
    unanswered: 'The kernel, which works the figures, has not answered for a minute, so the button that you pressed did ' +
      'nothing. Press it again.',
    remade: 'What you pressed was made anew by what you typed before it, so your press did nothing. Look, and press again.',
    failed: 'This page could not be finished: the last line of the cell where it stopped says why.'
  };

  // when the page has nothing else to do, or at that time at the latest
  const atRest = (act, end) => window.requestIdleCallback
    ? window.requestIdleCallback(act, { timeout: Math.max(end - performance.now(), 30) }) : setTimeout(act, 30);

  const share = async name => {
    const versions = scope[name];
    if (!versions) throw new Error(`JupyterLab shares no ${name}`);
    const best = Object.keys(versions).sort().pop();
    return (await versions[best].get())();
  };
  let scope = {};

  async function plugin() {
    const [{ INotebookTracker, NotebookActions }, { ServerConnection }, { ISettingRegistry }, { Widget }, { PathExt, URLExt }] =
      await Promise.all(['@jupyterlab/notebook', '@jupyterlab/services', '@jupyterlab/settingregistry', '@lumino/widgets',
        '@jupyterlab/coreutils'].map(share));

    return {
      id: SETTINGS,
      autoStart: true,
      requires: [INotebookTracker],
      optional: [ISettingRegistry],
      activate: (app, tracker, registry) => {
        document.head.appendChild(Object.assign(document.createElement('style'), { textContent: STYLE }));
        const pages = new Map();     // panel -> Page
        const wanted = new Map();    // path -> the check that its form is to begin with, and of what
        const connection = app.serviceManager.serverSettings;
        const door = { showTheCode: false, started: '', trouble: '' };

        const ask = (what, init = {}) =>
          ServerConnection.makeRequest(URLExt.join(connection.baseUrl, NAME, what), init, connection);

        const named = box => box.labels && box.labels[0] ? box.labels[0].textContent : '';

        class Page {
          constructor(panel) {
            this.panel = panel;
            this.content = panel.content;
            this.context = panel.sessionContext;
            this.ours = false;       // as shipped: run by itself, its code out of sight
            this.runs = 0;
            this.tries = [];
            this.heard = this.took = performance.now();
            this.typed = null;       // the field that was typed in, and its text, until the kernel has answered
            this.unanswered = new Set();   // what the page's fields and buttons told the kernel and it has not answered
            this.context.sessionChanged.connect((_, change) => this.listen(change.newValue));
            this.listen(this.context.session);
            this.set('asking');
          }

          set(state, words = '', actions = []) {
            this.state = state;
            this.panel.node.dataset.rotorkit = state;
            this.cover();
            this.say(words, actions);
          }

          get kernel() { return this.context.session && this.context.session.kernel; }

          listen(session) {
            this.forget();
            if (!session || session === this.listened) return;
            this.listened = session;
            session.anyMessage.connect((_, { msg, direction }) => {
              const { msg_id, msg_type } = msg.header;
              if (direction === 'send' && msg_type === 'comm_msg') {
                this.unanswered.add(msg_id);
                this.overdue = this.overdue || setTimeout(() => this.old(true), OLD);
              }
            });
            // taken once all that the kernel said before it has been: by then a field has sent on what it held back
            session.iopubMessage.connect((_, { header, content, parent_header }) => {
              this.took = performance.now();
              if (header.msg_type === 'comm_close') this.elsewhere(parent_header.session);
              if (header.msg_type !== 'status' || content.execution_state !== 'idle') return;
              const was = this.unanswered.delete(parent_header.msg_id);
              if (this.unanswered.size) return;
              if (was) this.typed = null;
              this.old(false);
            });
            session.kernelChanged.connect(() => this.forget());
          }

          old(so) {                                // what is seen is not of what was typed: nothing of it is shown
            clearTimeout(this.overdue);
            this.overdue = 0;
            if (this.state === 'run' && so !== !!this.working && !this.bar) this.say(so ? SAY.working : '');
            this.content.node.classList.toggle('rotorkit-old', so && this.state === 'run');
          }

          elsewhere(client) {                      // another window works the notebook, and with that closed this one's form
            if (!client || !this.kernel || client === this.kernel.clientId || !['run', 'running'].includes(this.state)) return;
            this.set('asks', SAY.elsewhere, [['Work it here', () => this.wait()]]);
          }

          forget() {                               // the kernel that was asked has gone
            this.unanswered.clear();
            this.old(false);
          }

          async answered() {                       // once the kernel has all that was typed
            const end = performance.now() + HELD;
            for (let quiet = performance.now(); performance.now() < quiet + ANSWERED && performance.now() < end;) {
              await new Promise(next => setTimeout(next, 10));
              if (this.unanswered.size) quiet = performance.now();
            }
            if (!this.unanswered.size) return true;
            this.forget();
            this.say(SAY.unanswered);
            return false;
          }

          cover() {                                // by what is so now: a signal of a kernel that came back may be missed
            const kernel = this.kernel;
            const apart = !!kernel && kernel.connectionStatus !== 'connected';   // for the moment nothing reaches it
            const current = ['run', 'running', 'failed', 'other'].includes(this.state) && !apart;
            this.content.node.classList.toggle('rotorkit-covered', !current);
          }

          say(words, actions = []) {
            if (this.bar) { this.bar.dispose(); this.bar = null; }
            if (this.working) { this.working.remove(); this.working = null; }
            if (!words || this.panel.isDisposed) return;
            if (words === SAY.working) {             // laid over the page's foot, so that nothing moves when it goes
              this.working = Object.assign(document.createElement('div'), { className: 'rotorkit-working', textContent: words });
              this.working.setAttribute('role', 'status');
              this.panel.node.append(this.working);
              return;
            }
            const bar = this.bar = new Widget();
            bar.addClass('rotorkit-say');
            bar.node.setAttribute('role', 'status');
            const said = document.createElement('p');
            said.textContent = words;
            const inside = document.createElement('div');
            inside.append(said, ...actions.map(([title, act]) => button(title, act)));
            bar.node.append(inside);
            bar.node.style.minHeight = '60px';       // a box of JupyterLab's gives a widget no more than that
            this.panel.contentHeader.addWidget(bar);
            requestAnimationFrame(() => {
              if (bar.isDisposed) return;
              bar.node.style.minHeight = `${inside.offsetHeight + 13}px`;
              this.panel.contentHeader.fit();
            });
          }

          async begin() {
            await this.panel.context.ready;
            if (this.panel.isDisposed) return;
            const metadata = this.panel.context.model.sharedModel.getMetadata() || {};
            const cells = Array.from(this.content.model.cells, one => [one.type, one.sharedModel.source]);
            const answer = await ask('origin', {
              method: 'POST',
              body: JSON.stringify({ path: this.panel.context.path, cells, shipped_as: !!metadata.rotorkit })
            });
            if (!answer.ok) throw new Error(`the server answers ${answer.status}`);
            if (this.panel.isDisposed) return;
            const { origin, started } = await answer.json();
            door.started = door.started || started;
            if (origin === 'other') { this.set('other'); return; }
            pages.set(this.panel, this);
            this.panel.disposed.connect(() => pages.delete(this.panel));
            this.watch();
            if (origin === 'changed') { this.asks(); return; }
            this.ours = true;
            this.mark();
            this.addSwitch();
            this.plain();
            // JupyterLab notes in it which kernel it has got: of a page that nobody has seen yet there is nothing to save
            const { model } = this.panel.context;
            const untouched = () => { if (model.dirty && this.state === 'waiting' && !this.runs) model.dirty = false; };
            model.stateChanged.connect(untouched);
            this.wait();
            untouched();
          }

          asks() {
            this.set('asks', SAY.asks, [['Run it', () => { this.allowed = true; this.wait(); }]]);
          }

          wait(words = SAY.working) {
            if (!this.ours && !this.allowed) { this.asks(); return; }
            this.set('waiting', words);
            this.whenSeen();
          }

          whenSeen() {
            if (this.due() && !this.running) void this.run();
            void this.runForCode();
          }

          due() { return this.state === 'waiting' && !this.panel.isDisposed && this.panel.isVisible; }

          async run() {
            this.running = true;
            try {
              while (this.due()) await this.runOnce();
            } finally {
              this.running = false;
            }
          }

          async runOnce() {
            await this.context.ready;
            const kernel = this.kernel;
            if (!kernel) { this.set('lost', SAY.dead, [['Start it again', () => void this.restart()]]); return; }
            this.remember();
            if (!wanted.has(this.panel.context.path)) this.comeBack();
            this.clear();
            this.set('running', SAY.working);
            await kernel.info;
            await this.silently(CLEAR);
            await this.turn('begin_with');
            const said = await this.runCells();
            if (this.panel.isDisposed || this.state !== 'running') return;
            this.runs += 1;
            this.settle(said);
            await this.turn('turn_to');
            this.typeAgain();
          }

          typeAgain() {                                // what a kernel that is gone had only the first letters of
            const [name, text] = this.typed || [];
            this.typed = null;
            const boxes = Array.from(this.content.node.querySelectorAll('.rotorkit-form input[type=text]'));
            const box = name && boxes.find(one => named(one) === name);
            if (!box || box.value === text) return;
            box.value = text;
            for (const told of ['input', 'change']) box.dispatchEvent(new Event(told, { bubbles: true }));
          }

          async runCells() {                           // what a person came for first; the rest while they look at it
            const all = Array.from(this.content.widgets).filter(one => this.codeShown || !one.hasClass(LATER));
            const first = all.findIndex(one => one.model.type === 'code') + 1;
            if (!await this.go(all.slice(0, first))) return false;
            const end = performance.now() + FIRST;
            while (performance.now() < end && !this.content.node.querySelector('.rotorkit-form')) {
              await new Promise(next => setTimeout(next, 30));
            }
            await new Promise(next => atRest(next, end));      // until what there is of the form has been drawn
            return this.panel.isDisposed || this.state !== 'running' ? false : this.go(all.slice(first));
          }

          go(some) { return NotebookActions.runCells(this.content, some, this.context).catch(() => false); }

          get codeShown() { return door.showTheCode || !this.ours; }

          async runForCode() {                         // what stands with the code alone, once somebody sees it
            if (!this.codeShown || this.state !== 'run' || this.coding || !this.panel.isVisible) return;
            const some = this.content.widgets.filter(one =>
              one.hasClass(LATER) && one.model.sharedModel.execution_count === null);
            if (!some.length) return;
            const { model } = this.panel.context, changed = model.dirty;
            const mine = this.coding = {};
            const said = await this.go(some);
            if (this.coding !== mine || this.panel.isDisposed) return;   // the page is being worked anew
            this.coding = null;
            if (this.state !== 'run') return;
            if (!said) this.set('failed', SAY.failed);
            model.dirty = changed;
          }

          settle(said) {
            this.set(said ? 'run' : 'failed', said ? '' : SAY.failed);
            if (this.ours) this.fold();
            this.panel.context.model.dirty = false;  // what was shown is not kept: it is worked anew each time
            void this.runForCode();
          }

          // the check that the form is of, to come back to it after a restart or in a page loaded anew
          get place() { return `${NAME}:${this.panel.context.path}`; }

          remember() {
            const at = this.content.node.querySelector('[data-rotorkit-at]');
            if (at) window.localStorage.setItem(this.place, at.dataset.rotorkitAt);
          }

          comeBack() {
            const check = window.localStorage.getItem(this.place);
            if (check !== null) wanted.set(this.panel.context.path, [check]);
          }

          async turn(how) {                             // to the check that a link asked for
            const path = this.panel.context.path;
            if (!wanted.has(path)) return;
            const asked = wanted.get(path).map(one => JSON.stringify(one)).join(', ');
            wanted.delete(path);
            await this.silently(`from rotorkit.notebook import ${how}\n${how}(${asked})`);
          }

          async silently(code) {
            const kernel = this.kernel;
            if (kernel) await kernel.requestExecute({ code, silent: true, store_history: false }).done.catch(() => null);
          }

          clear() {
            this.coding = null;
            this.forget();
            for (const one of this.content.model.cells) if (one.type === 'code') one.clearExecution();
            if (this.line) { this.line.remove(); this.line = null; }
          }

          watch() {
            this.context.statusChanged.connect((_, status) => {
              if (['restarting', 'autorestarting'].includes(status)) this.gone(SAY.restarting, true);
              else if (status === 'dead') this.ended();
              else if (status === 'terminating') this.gone(SAY.dead, false);
              else if (status === 'idle' && this.rerun) { this.rerun = false; this.wait(SAY.restarting); }
            });
            this.context.kernelChanged.connect((_, change) => {
              this.cover();
              if (!change.newValue && !change.oldValue) return;   // there is none yet: one is being started
              if (!change.newValue) this.ended();
              else if (this.state === 'lost' || this.runs) { this.rerun = false; this.wait(SAY.restarting); }
            });
            this.context.connectionStatusChanged.connect(() => this.cover());
          }

          gone(words, comesBack) {
            if (this.state === 'asks' || door.trouble) return;
            this.set('lost', words, words === SAY.restarting ? [] : [['Start it again', () => void this.restart()]]);
            this.rerun = comesBack;
            this.since = performance.now();
          }

          ended() {                                  // told by JupyterLab, or seen at a beat, whichever comes first
            if (this.state === 'asks' || this.state === 'lost' || door.trouble || this.panel.isDisposed) return;
            this.anew(this.runs > 0);
          }

          anew(wanted) {
            this.tries = this.tries.filter(one => performance.now() - one < AGAIN);
            this.ending = wanted && this.tries.length < TRIES;         // asked for anew at a beat, gone from the server
            this.gone(this.ending ? SAY.restarting : SAY.dead, false);
          }

          kept(kernels, idle) {                      // a kernel that ended elsewhere is told late, if at all
            if (this.state === 'lost' && this.rerun) this.late(kernels);
            const kernel = this.kernel;
            const there = kernel && kernels.includes(kernel.id);
            this.cover();
            if (!there || kernel.connectionStatus === 'connected') this.heard = performance.now();
            else if (performance.now() - this.heard > LATE) {     // JupyterLab gives up after some tries
              this.heard = performance.now();
              void kernel.reconnect().catch(() => null);
            }
            if (this.state === 'run') {
              this.remember();
              if (!there) this.ended();
            }
            const waits = this.state === 'running' || this.state === 'run' && this.unanswered.size > 0;
            if (!waits || !there || !idle.includes(kernel.id)) this.took = performance.now();
            else if (performance.now() - this.took > LATE) {      // it has answered all, and that does not come through
              this.took = performance.now();
              this.gone(SAY.restarting, true);
              void this.restart();
            }
            const pause = PAUSE * this.tries.length;
            if (this.state === 'lost' && this.ending && !there && performance.now() - this.since >= pause) {
              this.ending = false;
              this.tries.push(performance.now());
              void this.restart();
            }
          }

          late(kernels) {                            // the word that the kernel is there again may have been missed
            const kernel = this.kernel;
            if (kernel && kernels.includes(kernel.id) && kernel.status === 'idle') {
              this.rerun = false;
              this.wait(SAY.restarting);
            } else if (performance.now() - this.since > LATE) {
              this.since = performance.now();
              if (kernel && kernels.includes(kernel.id)) void kernel.reconnect().catch(() => null);
              else void this.restart();
            }
          }

          async restart() {
            await app.serviceManager.sessions.refreshRunning().catch(() => null);
            if (this.panel.isDisposed) return;
            this.rerun = true;
            this.since = performance.now();
            try {
              if (this.kernel) await this.context.restartKernel();
              else await this.context.startKernel();       // that it failed is told by a box alone
            } catch (problem) {
              this.anew(true);
              return;
            }
            if (!this.kernel && !this.panel.isDisposed) this.anew(true);
          }

          // what is seen of it

          mark() {
            for (const one of this.content.widgets) {
              const { own, part } = one.model.sharedModel.getMetadata();
              one.addClass('rotorkit-ours');
              if (part === 'title') one.addClass('rotorkit-title');
              if (part === 'hint') one.addClass('rotorkit-hint-cell');
              if (part === 'code' || own === 'go further') one.addClass('rotorkit-for-code');
              if (part === 'code' && one.model.type === 'code') one.addClass(LATER);   // no other cell needs it
              if ((part === 'checks' || own === 'checks') && one.model.type === 'code') one.addClass('rotorkit-check');
            }
          }

          plain() {
            this.content.node.classList.toggle('rotorkit-plain', !door.showTheCode);
            if (this.box) this.box.checked = door.showTheCode;
            void this.runForCode();
          }

          addSwitch() {
            const label = document.createElement('label');
            this.box = Object.assign(document.createElement('input'), { type: 'checkbox', checked: door.showTheCode });
            this.box.addEventListener('change', () => showTheCode(this.box.checked));
            label.append(this.box, 'Show the code');
            const widget = new Widget({ node: label });
            widget.addClass('rotorkit-code-switch');
            this.panel.toolbar.insertItem(0, 'rotorkit-code', widget);
          }

          clearOfHead() {                          // a field that is gone to does not stop behind the head that stays above
            const head = this.content.node.querySelector('.rotorkit-form .rotorkit-banner');
            if (head) this.content.node.style.setProperty('--rotorkit-head', `${head.offsetHeight + 4}px`);
          }

          fold() {
            const checks = this.content.widgets.filter(one => one.hasClass('rotorkit-check'));
            if (!checks.length) return;
            const unrun = checks.filter(one => one.model.sharedModel.execution_count === null);
            const wrong = checks.flatMap(one => one.model.sharedModel.outputs.filter(out => out.output_type === 'error'));
            const good = !unrun.length && !wrong.length;
            const count = checks.reduce((sum, one) => sum + (one.model.sharedModel.source.match(CHECKS) || []).length, 0);
            const first = wrong.length ? `${wrong[0].ename}: ${wrong[0].evalue}`.replace(/[:\s]+$/, '') : '';
            const words = good ? `${count} checks passed`
              : wrong.length ? `A check failed: do not rely on this notebook. ${first}`
                : 'The checks were not run: do not rely on this notebook.';
            this.content.node.classList.toggle('rotorkit-folded', good);
            this.line = document.createElement('div');
            this.line.className = `rotorkit-checks${good ? '' : ' failed'}`;
            this.line.setAttribute('role', 'status');
            const said = document.createElement('span');
            said.textContent = `${words}  `;
            const more = button(good ? 'Show them' : 'Hide them', () => {
              const folded = this.content.node.classList.toggle('rotorkit-folded');
              more.textContent = folded ? 'Show them' : 'Hide them';
            });
            this.line.append(said, more);
            const at = this.content.widgets.indexOf(checks[0]);
            const head = this.content.widgets[Math.max(at - 1, 0)];
            head.node.append(this.line);
          }
        }

        const button = (title, act) => {
          const made = Object.assign(document.createElement('button'), { type: 'button', textContent: title });
          made.addEventListener('click', act);
          return made;
        };

        const showTheCode = (shown, keep = true) => {
          door.showTheCode = shown;
          for (const page of pages.values()) if (page.ours) page.plain();
          if (keep && door.settings) void door.settings.set('showTheCode', shown);
        };

        // a link with the check that its form is to begin with
        const follow = async link => {
          const panel = tracker.currentWidget;
          const here = panel ? PathExt.dirname(panel.context.path) : '';
          const path = PathExt.normalize(PathExt.join(here, link.dataset.rotorkitOpen));
          const { rotorkitCheck: check, rotorkitOf: of } = link.dataset;
          if (check !== undefined) wanted.set(path, of === undefined ? [check] : [check, of]);
          const opened = await app.commands.execute('docmanager:open', { path });
          const page = pages.get(opened);
          if (page && page.state === 'run') await page.turn('turn_to');
        };
        document.addEventListener('click', event => {
          const link = event.target instanceof Element ? event.target.closest('a[data-rotorkit-open]') : null;
          if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
          event.preventDefault();
          event.stopPropagation();
          void follow(link);
        }, true);

        // A browser takes the line breaks out of what is put into a field of one line: a column of 1 and 2 would be
        // the reading 12. Readings that stood apart stay apart: in one field as repeats; a column of them put into a
        // table goes to the kernel line by line, which fills the rows downward (RowsBox.take).
        const keepApart = event => {
          const box = event.target;
          if (!(box instanceof HTMLInputElement) || !box.closest('.rotorkit-form') || box.selectionStart === null) return;
          const held = event.clipboardData || event.dataTransfer;
          const text = held ? held.getData('text/plain') : '';
          if (!APART.test(text)) return;
          event.preventDefault();
          event.stopPropagation();
          box.focus();
          const column = text.replace(/[\s\u0085]+$/, '').replace(/\r\n/g, '\n');
          if (box.closest('.rotorkit-row') && LINE_BREAK.test(column)) {
            box.value = column.split(LINE_BREAK).join(BREAK);
          } else {
            const parts = [box.value.slice(0, box.selectionStart), ...text.split(APART), box.value.slice(box.selectionEnd)];
            box.value = parts.map(part => part.replace(/^[\s;]+|[\s;]+$/g, '')).filter(part => part).join('; ');
          }
          for (const told of ['input', 'change']) box.dispatchEvent(new Event(told, { bubbles: true }));
        };
        for (const way of ['paste', 'drop']) document.addEventListener(way, keepApart, true);

        // A key pressed on a list, on a button or beside them is none for JupyterLab's cells, which a letter cuts, joins or
        // turns to text, and an arrow leaves. Where it types it looks for no such command, and goes by this mark. Nor is a
        // long or right press there for its menu of cells: the browser's own has what is pasted into a field.
        const inThePage = event => Array.from(pages.values()).find(one => one.content.node.contains(event.target)
          && (one.ours && !door.showTheCode || event.target.closest('.jp-OutputArea')));
        window.addEventListener('keydown', event => {
          const page = inThePage(event);
          if (!page) return;
          page.content.node.classList.add('jp-mod-readWrite');
          page.clearOfHead();
        }, true);
        window.addEventListener('contextmenu', event => { if (inThePage(event)) event.stopPropagation(); }, true);

        // a keyboard that comes up on the screen leaves less of the page: not less of what is typed into
        window.addEventListener('resize', () => setTimeout(() => {    // once JupyterLab has laid out its parts anew
          const box = document.activeElement;
          const page = Array.from(pages.values()).find(one => one.content.node.contains(box));
          if (!page || !box.closest('.rotorkit-form')) return;
          page.clearOfHead();
          const { x, y, width, height } = box.getBoundingClientRect();
          if (document.elementFromPoint(x + width / 2, y + height / 2) !== box) box.scrollIntoView({ block: 'end' });
        }, 150));

        document.addEventListener('input', event => {
          const box = event.target;
          if (!(box instanceof HTMLInputElement) || box.type !== 'text' || !box.closest('.rotorkit-form')) return;
          const page = Array.from(pages.values()).find(one => one.panel.node.contains(box));
          if (page) page.typed = [named(box), box.value];
        }, true);

        // Enter has a reading taken, and goes down the column as on paper; in the last place it stays.
        const below = box => {
          const row = box.closest('.rotorkit-row');
          const line = row || box.closest('.rotorkit-fields > .rotorkit-line, .rotorkit-hand');
          if (!line || box.closest('.rotorkit-explorer')) return null;
          const all = Array.from(row ? row.closest('.rotorkit-table').querySelectorAll('.rotorkit-row:not(.head)')
            : line.parentElement.children);
          const column = row ? Array.from(row.children).findIndex(cell => cell.contains(box)) : 0;
          return all.slice(all.indexOf(line) + 1).map(one => (row ? one.children[column] : one).querySelector('input[type=text]'))
            .find(one => one && !one.disabled && one.offsetParent) || null;
        };
        document.addEventListener('keypress', event => {
          const box = event.target;
          if (event.key !== 'Enter' || event.shiftKey || event.ctrlKey || event.altKey || event.metaKey) return;
          if (!(box instanceof HTMLInputElement) || !box.closest('.rotorkit-form')) return;
          const mark = box.closest('.rotorkit-lesson .rotorkit-answer')?.querySelector('button');
          if (mark) {                                  // a press waits until the kernel has all of the answer, Enter does not
            event.stopPropagation();
            mark.click();
            return;
          }
          const next = below(box);
          // once the field itself has had the key, and before the next key is seen: a browser that is busy gives a field all
          // that is typed before it comes to what was put off, and 0.2 with the 0 of the next field would be 0.20
          const go = had => { if (next && had === event) { next.focus(); next.select(); } };
          (box.closest('.widget-text') || box).addEventListener('keypress', go, { once: true });
        }, true);

        // What is typed and a press go to the kernel on two ways: a field's text waits there until the kernel has answered
        // the letter before, a press goes at once, and would write or save the half of it. So a press waits too (but for
        // the one that picks files, which a browser lets nobody but a person do).
        const held = new WeakSet(), free = new WeakSet();
        document.addEventListener('click', event => {
          const pressed = event.target instanceof Element ? event.target.closest('.rotorkit-form button.jupyter-button:not(.widget-upload)') : null;
          if (!pressed || free.has(pressed)) return;
          const page = Array.from(pages.values()).find(one => one.panel.node.contains(pressed));
          if (page && page.state === 'run' && page.bar) page.say('');      // of a press before
          if (!page || !page.unanswered.size) return;
          event.preventDefault();
          event.stopPropagation();
          if (held.has(pressed)) return;
          held.add(pressed);
          void page.answered().then(all => {
            held.delete(pressed);
            if (!all) return;
            if (!pressed.isConnected) { page.say(SAY.remade); return; }
            free.add(pressed);
            pressed.click();
            free.delete(pressed);
          });
        }, true);

        // the server: gone, another, or back
        const trouble = words => {
          if (words === door.trouble) return;
          door.trouble = words;
          for (const page of pages.values()) {
            if (page.state === 'asks') continue;
            page.before = page.before || page.state;
            page.set('lost', words);
          }
        };
        const closeTheOtherWord = () => {   // JupyterLab says the same in a box that hides what the page says, and stays
          for (const box of document.querySelectorAll('.jp-Dialog')) {
            const head = box.querySelector('.jp-Dialog-header');
            const ours = Array.from(pages.keys(), panel => panel.context.path).some(path => box.textContent.includes(path));
            const lost = Array.from(pages.values()).some(page => page.state === 'lost');
            const same = head && (head.textContent === 'Server Connection Error' && pages.size
              || head.textContent === 'Kernel Restarting' && ours
              || head.textContent === 'Error Starting Kernel' && lost);
            if (same) box.querySelector('button.jp-Dialog-button')?.click();   // each of them has one, of several kinds
          }
        };
        const back = async started => {
          const another = door.started && started !== door.started;
          door.started = started;
          if (!another && !door.trouble) return;
          door.trouble = '';
          for (const page of pages.values()) {
            const before = page.before;
            page.before = '';
            if (page.state === 'asks') continue;
            if (another || before !== 'run') void page.restart();
            else page.set('run');
          }
        };
        const beat = async () => {
          let next = BEAT;
          try {
            const answer = pages.size ? await ask('started') : null;
            if (answer && answer.ok) {
              const { started, kernels, idle = [] } = await answer.json();
              await back(started);
              for (const page of pages.values()) page.kept(kernels, idle);
            }
            else if (answer && [401, 403].includes(answer.status)) { trouble(SAY.turned); next = SLOW_BEAT; }
          } catch (problem) {
            trouble(SAY.stopped);
          }
          closeTheOtherWord();
          setTimeout(beat, next);
        };

        const load = registry ? registry.load(SETTINGS).then(settings => {
          door.settings = settings;
          const follows = () => showTheCode(!!settings.get('showTheCode').composite, false);
          settings.changed.connect(follows);
          follows();
        }, () => null) : Promise.resolve();
        const take = panel => {
          const page = new Page(panel);
          load.then(() => page.begin()).catch(problem => {   // without the server's part all is as JupyterLab has it
            console.warn(NAME, problem);
            if (!panel.isDisposed) page.set('other');
          });
        };
        void app.restored.then(() => {
          const fold = foldsTheList(app.shell);
          fold();
          tracker.widgetAdded.connect(fold);
        });
        tracker.forEach(take);
        tracker.widgetAdded.connect((_, panel) => take(panel));
        tracker.currentChanged.connect(() => setTimeout(() => { for (const page of pages.values()) page.whenSeen(); }, 0));
        void app.restored.then(() => { for (const page of pages.values()) page.whenSeen(); });
        setTimeout(beat, BEAT);
      }
    };
  }

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB[NAME] = {
    init: shared => { scope = shared; },
    get: async () => {
      const made = await plugin();
      return () => ({ __esModule: true, default: made });
    }
  };
})();

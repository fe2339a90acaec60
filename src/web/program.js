// SPDX-License-Identifier: GPL-3.0-or-later
// The program in a worker of its own: asked one thing at a time, stopped when it takes too long.

class Program {
    // `seed` is {worker: its source, module, files}; `limit` in ms is how long one task may take.
    constructor(seed, limit) {
        this.seed = seed;
        this.limit = limit;
        this.url = URL.createObjectURL(new Blob([seed.worker], { type: 'text/javascript' }));
        this.id = 0;
        this.start();
    }

    start() {
        this.worker = new Worker(this.url);
        this.worker.onmessage = ({ data }) => this.hear(data);
        this.worker.onerror = (event) => {
            event.preventDefault();
            this.end(new Error(`the program broke down: ${event.message}`));
        };
        this.worker.postMessage({ module: this.seed.module, files: this.seed.files });
        this.busy = null;
    }

    // The answers, or null when a later question or `stop` came first. Refused with an Error when it
    // takes longer than the limit. `progress` hears a percentage.
    ask(file, text, lines, progress) {
        return new Promise((done, failed) => {
            const task = { id: ++this.id, file, text, lines, progress, done, failed };
            if (this.next) this.next.done(null);
            this.next = task;
            if (!this.busy) this.send();
        });
    }

    send() {
        this.busy = this.next;
        this.next = null;
        if (!this.busy) return;
        const { id, file, text, lines } = this.busy;
        this.timer = setTimeout(() => this.end(new Error('this took too long and was stopped')), this.limit);
        this.worker.postMessage({ id, file, text, lines });
    }

    hear(data) {
        if (!this.busy || data.id !== this.busy.id) return;
        if (data.progress !== undefined) {
            if (this.busy.progress) this.busy.progress(data.progress);
            return;
        }
        clearTimeout(this.timer);
        const { done } = this.busy;
        this.busy = null;
        done(data.answers);
        this.send();
    }

    // What is under way ends here: with an error, or with null when none is told.
    end(error) {
        const ended = this.busy;
        clearTimeout(this.timer);
        this.worker.terminate();
        this.start();
        if (ended) error ? ended.failed(error) : ended.done(null);
        this.send();
    }

    stop() {
        if (this.next) this.next.done(null);
        this.next = null;
        if (this.busy) this.end(null);
    }
}

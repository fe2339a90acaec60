// SPDX-License-Identifier: GPL-3.0-or-later
// A library for emscripten's linker: files in memory, to be read only, in place of its own larger
// one. Module.files maps a path without a leading slash to its bytes; a folder is what paths share.
// What the program writes goes to Module.write(1 or 2, bytes).
mergeInto(LibraryManager.library, {
    $files: {
        open: [], // what is open, from 3 on
        // 'components//./wiring' -> 'components/wiring'
        plain: function (path) {
            return UTF8ToString(path).split('/').filter(function (name) {
                return name && name !== '.';
            }).join('/');
        },
        names: function (folder) {
            var start = folder ? folder + '/' : '', names = {};
            Object.keys(Module['files']).forEach(function (path) {
                if (path.startsWith(start)) names[path.slice(start.length).split('/')[0]] = true;
            });
            return Object.keys(names);
        },
        exists: function (path) {
            return path in Module['files'] || files.names(path).length > 0;
        },
        stat: function (path, to) {
            if (!files.exists(path)) return -{{{ cDefine('ENOENT') }}};
            var data = Module['files'][path];
            HEAPU8.fill(0, to, to + {{{ C_STRUCTS.stat.__size__ }}});
            {{{ makeSetValue('to', C_STRUCTS.stat.st_mode, 'data ? 0x8124 : 0x416d', 'i32') }}};
            {{{ makeSetValue('to', C_STRUCTS.stat.st_size, 'data ? data.length : 0', 'i32') }}};
            return 0;
        },
        refused: function () {
            return -{{{ cDefine('EROFS') }}};
        },
    },
    __syscall_open__deps: ['$files'],
    __syscall_open: function (path, flags) {
        path = files.plain(path);
        if (!files.exists(path))
            return flags & {{{ cDefine('O_CREAT') }}} ? files.refused() : -{{{ cDefine('ENOENT') }}};
        if (flags & {{{ cDefine('O_ACCMODE') }}}) return files.refused();
        var fd = 3;
        while (files.open[fd]) fd++;
        files.open[fd] = { path: path, data: Module['files'][path], at: 0 };
        return fd;
    },
    __syscall_stat64__deps: ['$files'],
    __syscall_stat64: function (path, to) { return files.stat(files.plain(path), to); },
    __syscall_lstat64__deps: ['$files'],
    __syscall_lstat64: function (path, to) { return files.stat(files.plain(path), to); },
    __syscall_fstatat64__deps: ['$files'],
    __syscall_fstatat64: function (fd, path, to) { return files.stat(files.plain(path), to); },
    __syscall_fstat64__deps: ['$files'],
    __syscall_fstat64: function (fd, to) { return files.stat(files.open[fd].path, to); },
    __syscall_faccessat__deps: ['$files'],
    __syscall_faccessat: function (fd, path) {
        return files.exists(files.plain(path)) ? 0 : -{{{ cDefine('ENOENT') }}};
    },
    __syscall_getdents64__deps: ['$files'],
    __syscall_getdents64: function (fd, to, size) {
        var folder = files.open[fd], start = folder.path ? folder.path + '/' : '', used = 0;
        folder.names = folder.names || files.names(folder.path);
        for (; folder.at < folder.names.length && used + {{{ C_STRUCTS.dirent.__size__ }}} <= size;
             folder.at++, used += {{{ C_STRUCTS.dirent.__size__ }}}) {
            var name = folder.names[folder.at];
            HEAPU8.fill(0, to + used, to + used + {{{ C_STRUCTS.dirent.__size__ }}});
            {{{ makeSetValue('to + used', C_STRUCTS.dirent.d_ino, 'folder.at + 1', 'i32') }}};
            {{{ makeSetValue('to + used', C_STRUCTS.dirent.d_reclen, C_STRUCTS.dirent.__size__, 'i16') }}};
            {{{ makeSetValue('to + used', C_STRUCTS.dirent.d_type, "start + name in Module['files'] ? 8 : 4", 'i8') }}};
            stringToUTF8(name, to + used + {{{ C_STRUCTS.dirent.d_name }}}, 256);
        }
        return used;
    },
    // Nothing is a terminal but standard error, which shows how far a study has come.
    __syscall_ioctl: function () { return -{{{ cDefine('ENOTTY') }}}; },
    fd_fdstat_get: function (fd, to) {
        {{{ makeSetValue('to', C_STRUCTS.__wasi_fdstat_t.fs_filetype, 'fd == 2 ? 2 : 4', 'i8') }}};
        return 0;
    },
    __syscall_fcntl64: function () { return 0; },
    __syscall_getcwd: function (to, size) {
        stringToUTF8('/', to, size);
        return to;
    },
    __syscall_readlink__deps: ['$files'],
    __syscall_readlink: function () { return -{{{ cDefine('EINVAL') }}}; },
    __syscall_chmod: function () { return -{{{ cDefine('EROFS') }}}; },
    __syscall_fchmod: function () { return -{{{ cDefine('EROFS') }}}; },
    __syscall_rename: function () { return -{{{ cDefine('EROFS') }}}; },
    __syscall_unlink: function () { return -{{{ cDefine('EROFS') }}}; },
    fd_close__deps: ['$files'],
    fd_close: function (fd) {
        files.open[fd] = null;
        return 0;
    },
    fd_sync: function () { return 0; },
    fd_read__deps: ['$files'],
    fd_read: function (fd, parts, count, read) {
        var file = files.open[fd], sum = 0;
        if (!file || !file.data) return file ? {{{ cDefine('EISDIR') }}} : {{{ cDefine('EBADF') }}};
        for (var i = 0; i < count; i++) {
            var to = HEAPU32[(parts + 8 * i) >> 2], size = HEAPU32[(parts + 8 * i + 4) >> 2];
            var piece = file.data.subarray(file.at, file.at + size);
            HEAPU8.set(piece, to);
            file.at += piece.length;
            sum += piece.length;
        }
        HEAPU32[read >> 2] = sum;
        return 0;
    },
    fd_write__deps: [],
    fd_write__postset: '',
    fd_write: function (fd, parts, count, written) {
        var sum = 0;
        for (var i = 0; i < count; i++) {
            var from = HEAPU32[(parts + 8 * i) >> 2], size = HEAPU32[(parts + 8 * i + 4) >> 2];
            if (size) Module['write'](fd, HEAPU8.slice(from, from + size));
            sum += size;
        }
        HEAPU32[written >> 2] = sum;
        return 0;
    },
    fd_seek__deps: ['$files'],
    fd_seek: function (fd, low, high, whence, to) {
        var file = files.open[fd];
        if (!file || !file.data) return {{{ cDefine('ESPIPE') }}};
        file.at = (whence === 0 ? 0 : whence === 1 ? file.at : file.data.length) + low;
        HEAPU32[to >> 2] = file.at;
        HEAPU32[(to >> 2) + 1] = 0;
        return 0;
    },
});

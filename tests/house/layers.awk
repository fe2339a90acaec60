# SPDX-License-Identifier: GPL-3.0-or-later
# Fails on an #include that goes against the order of the folders. A folder may include its own
# headers and those of lower rank; folders of one rank do not know one another.

BEGIN {
    rank["status"] = 1
    rank["quantity"] = 2
    rank["fuel"] = 3
    rank["build"] = 4 # only a header: the plain numbers that the kernel reads
    rank["engine"] = 5
    rank["supply"] = 6
    rank["capacity"] = 7
    rank["sheet"] = 8
    rank["document"] = 9 # only a header: what the documents show
    rank["chance"] = 10 # the check on many draws at once
    rank["assumptions"] = rank["promise"] = rank["sizing"] = rank["review"] = rank["tank"] = 11
    rank["report"] = 12
    rank["cli"] = 13
    rank["web"] = 14

    # The folder that a public header speaks for, where the names differ.
    face["curve"] = "quantity"
    face["blend"] = "fuel"
    face["check"] = "capacity"
}

function folder_of(path,    parts, name) {
    if (split(path, parts, "/") < 2)
        return ""
    if (path ~ /(^|\/)fuelreach\//) {
        name = path
        sub(/.*\//, "", name)
        sub(/\.h$/, "", name)
        return name in face ? face[name] : name
    }
    return path ~ /^src\// ? parts[2] : parts[1]
}

function complain(text) {
    printf "%s:%d: %s\n", FILENAME, FNR, text
    wrong++
}

FNR == 1 {
    files++
    own = folder_of(FILENAME)
    if (!(own in rank))
        complain("folder '" own "' has no rank in tests/house/layers.awk")
}

/^[ \t]*#[ \t]*include[ \t]*"/ {
    split($0, quoted, "\"")
    other = folder_of(quoted[2])
    if (other == "" || other == own)
        next
    if (!(other in rank))
        complain("'" quoted[2] "' is of no known folder")
    else if (rank[other] > rank[own])
        complain(own " includes '" quoted[2] "': " other " stands above it")
    else if (rank[other] == rank[own])
        complain(own " includes '" quoted[2] "': the two do not know one another")
}

END {
    if (wrong)
        exit 1
    printf "%d files, every include goes with the order of the folders\n", files
}

# SPDX-License-Identifier: GPL-3.0-or-later
# Completion of fuelreach for bash, made from its table of commands: do not edit.
_fuelreach() {
    local word=$2 before=$3 command=${COMP_WORDS[1]} options= files=0
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        COMPREPLY=($(compgen -W "check fuel draft parts promise size review page chart explain tank --help --version" -- "$word"))
        return
    fi
    case "$command $before" in
        "check --format") COMPREPLY=($(compgen -W "text json csv" -- "$word")); return ;;
        "check --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "check --blend"|"check -b") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "check --set"|"check -s") COMPREPLY=(); return ;;
        "check --parts"|"check -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "fuel --temperature"|"fuel -t") COMPREPLY=(); return ;;
        "fuel --pressure") COMPREPLY=(); return ;;
        "fuel --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "fuel --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "parts --parts"|"parts -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "parts --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "promise --draws"|"promise -n") COMPREPLY=(); return ;;
        "promise --confidence"|"promise -c") COMPREPLY=(); return ;;
        "promise --seed") COMPREPLY=(); return ;;
        "promise --format") COMPREPLY=($(compgen -W "text json csv" -- "$word")); return ;;
        "promise --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "promise --blend"|"promise -b") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "promise --set"|"promise -s") COMPREPLY=(); return ;;
        "promise --parts"|"promise -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "size --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "size --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "size --budget") COMPREPLY=(); return ;;
        "size --top"|"size -t") COMPREPLY=(); return ;;
        "size --confidence") COMPREPLY=(); return ;;
        "size --keep"|"size -k") COMPREPLY=(); return ;;
        "size --shelf") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "size --prices") COMPREPLY=($(compgen -f -- "$word")); return ;;
        "size --set"|"size -s") COMPREPLY=(); return ;;
        "size --parts"|"size -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "review --blend"|"review -b") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "review --next"|"review -n") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "review --confidence") COMPREPLY=(); return ;;
        "review --learn") COMPREPLY=($(compgen -f -- "$word")); return ;;
        "review --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "review --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "review --set"|"review -s") COMPREPLY=(); return ;;
        "review --parts"|"review -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "page --output"|"page -o") COMPREPLY=($(compgen -f -- "$word")); return ;;
        "page --log"|"page -l") COMPREPLY=($(compgen -f -- "$word")); return ;;
        "page --shelf") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "page --prices") COMPREPLY=($(compgen -f -- "$word")); return ;;
        "page --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "page --blend"|"page -b") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "page --set"|"page -s") COMPREPLY=(); return ;;
        "page --parts"|"page -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "chart --kind"|"chart -k") COMPREPLY=($(compgen -W "capacity reach odds duty rail pump" -- "$word")); return ;;
        "chart --output"|"chart -o") COMPREPLY=($(compgen -f -- "$word")); return ;;
        "chart --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
        "chart --blend"|"chart -b") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "chart --set"|"chart -s") COMPREPLY=(); return ;;
        "chart --parts"|"chart -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "explain --speed"|"explain -n") COMPREPLY=(); return ;;
        "explain --stage") COMPREPLY=(); return ;;
        "explain --blend"|"explain -b") COMPREPLY=($(compgen -W "E0 E10 E30 E50 E70 E85 E100" -- "$word")); return ;;
        "explain --set"|"explain -s") COMPREPLY=(); return ;;
        "explain --parts"|"explain -p") COMPREPLY=($(compgen -d -- "$word")); return ;;
        "tank --size") COMPREPLY=(); return ;;
        "tank --holds") COMPREPLY=(); return ;;
        "tank --add"|"tank -a") COMPREPLY=(); return ;;
        "tank --drain") COMPREPLY=(); return ;;
        "tank --target") COMPREPLY=(); return ;;
        "tank --steps") COMPREPLY=(); return ;;
        "tank --with") COMPREPLY=(); return ;;
        "tank --line") COMPREPLY=(); return ;;
        "tank --burn") COMPREPLY=(); return ;;
        "tank --return") COMPREPLY=(); return ;;
        "tank --bore") COMPREPLY=(); return ;;
        "tank --reading") COMPREPLY=(); return ;;
        "tank --temperature"|"tank -t") COMPREPLY=(); return ;;
        "tank --format") COMPREPLY=($(compgen -W "text json" -- "$word")); return ;;
        "tank --units") COMPREPLY=($(compgen -W "metric us" -- "$word")); return ;;
    esac
    case $command in
        check) options="--format --units --blend --detail --set --parts --help"; files=1 ;;
        fuel) options="--temperature --pressure --format --units --help"; files=0 ;;
        draft) options="--help"; files=1 ;;
        parts) options="--parts --format --help"; files=0 ;;
        promise) options="--draws --confidence --seed --no-defaults --format --units --blend --set --parts --help"; files=1 ;;
        size) options="--format --units --budget --top --front --confidence --keep --shelf --prices --set --parts --help"; files=1 ;;
        review) options="--blend --next --confidence --learn --format --units --set --parts --help"; files=1 ;;
        page) options="--output --log --shelf --prices --check-only --units --blend --set --parts --help"; files=1 ;;
        chart) options="--kind --output --units --blend --set --parts --help"; files=1 ;;
        explain) options="--speed --stage --blend --set --parts --help"; files=1 ;;
        tank) options="--size --holds --add --drain --target --steps --with --line --burn --return --bore --reading --temperature --format --units --help"; files=0 ;;
    esac
    if [[ $word == -* ]]; then
        COMPREPLY=($(compgen -W "$options" -- "$word"))
    elif [ "$files" = 1 ]; then
        COMPREPLY=($(compgen -f -- "$word"))
    fi
}
complete -o filenames -F _fuelreach fuelreach
